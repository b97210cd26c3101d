"""Which layer of the next set goes on which slab, and when: fewest days, then least wetness.

Slabs, layers and hours in, a plan and its reasons out; neither the record, the fit nor the clock is asked here.
Planning anew is asking again with the slabs as they are and the layers that are left."""
