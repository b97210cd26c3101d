"""The group of commands `mix`: sizing a slab, sizing a batch of slip."""

from __future__ import annotations

import typer

from claybench.cli.mix_slab import slab
from claybench.cli.mix_slip import slip

app = typer.Typer(help="Size a slab, or a batch of slip.", no_args_is_help=True)
app.command("slab")(slab)
app.command("slip")(slip)
