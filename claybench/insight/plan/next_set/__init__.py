"""The next set of a plan from a lab's rows: what is known, what to make and repeat, where it dries, what it takes."""
