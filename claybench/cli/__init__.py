"""Commands for scripts and the shell. Data goes to stdout, everything else to stderr."""
