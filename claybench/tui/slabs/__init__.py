"""Slabs: the list, one slab, and what happens to it."""
