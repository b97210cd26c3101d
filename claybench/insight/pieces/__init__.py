"""Test pieces: whose a bar is, odd readings, how well readings repeat, where a fault came from."""
