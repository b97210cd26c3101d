"""What is read of anything by the lab's own properties."""
