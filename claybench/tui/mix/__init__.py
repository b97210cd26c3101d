"""Mix: sizing slabs and batches of slip, with figures that follow the typing."""
