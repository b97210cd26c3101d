"""The water in each slab: what it holds, how wet it is at any moment, how it dries out."""
