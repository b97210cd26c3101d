"""The next set: where recipes may lie, what they will come to, which to make, and when they dry on which slab."""
