"""The bench: what lies on the slabs, pouring, touching, lifting."""
