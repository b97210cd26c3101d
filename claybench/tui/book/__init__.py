"""The book: batches, firings, materials, lots, families, settings, history."""
