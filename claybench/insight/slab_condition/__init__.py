"""What speaks for and against a slab: evidence, verdict, and whether a layer may go on it."""
