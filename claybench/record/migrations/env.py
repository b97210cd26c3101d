"""Alembic asks for this file; claybench runs migrations through `record.migrate` and nothing else."""

from claybench.errors import CannotOpen

raise CannotOpen(
    "The schema of a lab is changed by opening it.",
    "Run claybench; alembic's own command line is not used here.",
)
