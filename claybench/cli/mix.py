"""The group of commands `mix`: sizing a slab, sizing a batch of slip, bringing slip to its target, blending bodies."""

from __future__ import annotations

import typer

from claybench.cli.mix_more import blend, correct
from claybench.cli.mix_slab import slab
from claybench.cli.mix_slip import slip

app = typer.Typer(help="Size a slab or a batch of slip, correct slip, blend bodies.", no_args_is_help=True)
app.command("slab")(slab)
app.command("slip")(slip)
app.command("correct")(correct)
app.command("blend")(blend)
