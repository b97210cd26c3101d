"""Water moving: into plaster, out of a layer of slip, off a slab into the air. Pure functions."""
