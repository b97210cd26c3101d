"""Bodies: recipes, and comparing them."""
