"""What test pieces tell: shrinkage, absorption, water, and how sure a mean is. Pure functions."""
