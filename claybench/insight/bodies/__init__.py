"""Bodies: side by side, their plasticity, and which of them a typed question means."""
