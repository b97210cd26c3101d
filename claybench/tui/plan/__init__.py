"""Plans: the next set, asked in a form, read as bodies and a calendar, made with one key."""
