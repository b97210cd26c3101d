"""What a person does: one function an act, one transaction each, writes only."""
