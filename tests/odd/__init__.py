"""Any value in any column, and every question asked of the lab that holds it."""
