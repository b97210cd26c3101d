"""From what was typed to the request of a sizing, and what is on the shelf for it."""
