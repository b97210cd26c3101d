"""Measuring test pieces: properties, plasticity, and the statistics of their readings. Pure functions."""
