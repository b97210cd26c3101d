"""Where bodies of a few materials may lie, and which of them make a good first set.

Bounds in, recipes out; what was measured on them is in `surface`."""
