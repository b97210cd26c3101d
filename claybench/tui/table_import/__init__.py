"""Reading a spreadsheet's own table in: choose it, say what its rows and columns are, look, take it."""
