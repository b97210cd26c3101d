"""Options that several commands have, and quantities typed behind an option."""

from __future__ import annotations

from typing import overload

import typer

from claybench import quantity
from claybench.errors import BadInput

Against = typer.Option(
    None, "--against", help="The body the others are held against; their family's control where left out."
)
Anyway = typer.Option(False, "--anyway", help="Do it in spite of what is asked about; else nothing is written then.")
AsOf = typer.Option(
    None, "--as-of", metavar="TIME", help="Answer as if the record ended then: Sun 9am, 2 days ago, 12 Mar, 2026-03-12."
)
ChartFile = typer.Option(
    None, "--to", help="The file: its name ends in .png, .svg or .pdf; told in words where left out, or -."
)
Csv = typer.Option(False, "--csv", help="CSV for a spreadsheet on stdout: the same figures as --json, one line each.")
Is = typer.Option(
    [],
    "--is",
    metavar="MATERIAL=WHAT",
    help="What a material is of which nothing is known, as in spar=flux: a kind, unknown, or a substance by its name; "
    "several times.",
)
Json = typer.Option(False, "--json", help="JSON on stdout.")
Paper = typer.Option(None, "--paper", help="A4 or Letter; what the lab's settings say where left out.")
Replace = typer.Option(False, "--replace", help="Write over a file of that name; else it is left alone.")

TightBelow = typer.Option(
    None, "--tight-below", metavar="PCT", help="Absorption below which a body is tight; else the lab's setting."
)


@overload
def read_quantity(text: str | None, unit: str, field: str) -> float | None: ...
@overload
def read_quantity(text: str | None, unit: str, field: str, otherwise: float) -> float: ...
@overload
def read_quantity(text: str | None, unit: str, field: str, otherwise: float | None) -> float | None: ...
def read_quantity(text: str | None, unit: str, field: str, otherwise: float | None = None) -> float | None:
    """A typed quantity in `unit`, its option named where it cannot be used; `otherwise` where nothing is typed."""
    if text is None:
        return otherwise
    try:
        return quantity.parse_quantity(text, unit).value
    except BadInput as error:
        raise BadInput(f"{field}: {error.reason}", error.remedy, field=field) from error
