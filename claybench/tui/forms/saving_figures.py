"""Saving a chart of the screen as a picture."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import TYPE_CHECKING

from claybench import exchange, figure, paper
from claybench.acts.act import Values
from claybench.acts.field import ActField
from claybench.errors import BadInput
from claybench.tui.documents import documents_folder
from claybench.tui.forms.form import Form

if TYPE_CHECKING:
    from claybench.figure.chart import Chart
    from claybench.figure.triangle import Triangle
    from claybench.tui.notebook import Notebook

_FIGURES = "how figures are saved"


async def save_figure(notebook: Notebook, build: Callable[[], Chart | Triangle], name: str, tab: str = "bench") -> None:
    """Ask for the kind of picture, save the chart beside the lab's other papers, and say where."""
    try:
        chart = build()
    except BadInput as error:
        notebook.complain(error)
        return

    async def write(values: Values) -> str:
        path = exchange.spreadsheet.free_name(documents_folder() / paper.page.file_name(name, values["kind"]))
        await asyncio.to_thread(figure.render.save_chart, chart, path)
        notebook.drafts.keep(_FIGURES, {"kind": values["kind"]})
        notebook.notify(f"Saved {path}", timeout=8, markup=False)
        return str(path)

    kind = notebook.drafts.load(_FIGURES).get("kind", "png")
    ask = ActField("kind", "picture", "word", words=("png", "svg", "pdf"), required=True, text=kind,
              note="png for a screen, svg to edit, pdf to print")  # fmt: skip
    await notebook.push_screen(Form(f"Save the figure: {chart.title}", [ask], write, draft=f"figure {name}", tab=tab))
