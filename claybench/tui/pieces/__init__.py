"""Pieces: forming, measuring one after another, firing, faults."""
