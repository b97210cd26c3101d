"""Bodies side by side: a table of every property, and one of them as a chart."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from textual.containers import Vertical
from textual.widget import Widget
from textual.widgets import Static

from claybench.errors import BadInput
from claybench.insight.comparison import PROPERTIES
from claybench.measure.piece import MEASURES
from claybench.tui.keys import COMPARE, bindings
from claybench.tui.place import Place
from claybench.tui.plot import ChartView
from claybench.tui.sheet import Col, Row, Sheet
from claybench.tui.words import NOTHING, Shown


class ComparePlace(Place):
    """Two or more bodies compared."""

    place = "compare"
    tab = "bodies"
    BINDINGS = bindings(COMPARE)

    def __init__(self, bodies: Sequence[str]) -> None:
        super().__init__()
        self._codes = list(bodies)
        self._shown = PROPERTIES[2]
        self._found: Any = ()

    def middle(self) -> Iterable[Widget]:
        """Table above, chart below."""
        yield Static("", id="heading", classes="heading", markup=False)
        with Vertical(classes="box"):
            yield Sheet([], id="table", empty="These bodies have no measured piece yet.")
            yield ChartView(id="chart")

    def on_mount(self) -> None:
        """Arrows change the property, so the table takes no left and right."""
        self.query_one(Sheet).focus()

    async def answer(self) -> Any:
        """The comparison."""
        from claybench.ask.compare import compare_bodies

        return await self.app.consult(compare_bodies, self._codes)

    def show(self, found: Any) -> None:
        """Fill table and chart."""
        self._found = found
        names = [name for name in PROPERTIES if any(name in result.properties for result in found)]
        columns = [Col("body", 7), Col("firing", 7)]
        columns += [
            Col(
                f"{MEASURES[name].short} {'' if MEASURES[name].unit != '%' else '%'}".strip(),
                10,
                right=True,
                unit=MEASURES[name].unit.replace("cm3", "cm³"),
                name=MEASURES[name].label,
            )
            for name in names
        ]
        columns += [Col("pieces", 6, right=True), Col("time ×", 12, right=True, name="time over the control's")]
        rows = []
        for result in found:
            if not result.properties and result.firing is not None:
                continue
            cells = [result.body, result.firing or "before"]
            for name in names:
                cells.append(_short(result.properties.get(name), MEASURES[name].digits))
            count = max((summary.n for summary in result.properties.values()), default=0)
            time = result.relative_time
            cells += [
                str(count),
                NOTHING if time is None else _time(time),
            ]
            rows.append(Row(tuple(cells), (result.body, result.firing or "")))
        self.query_one(Sheet).fill(rows, columns)
        self._chart()

    def table_name(self) -> str:
        """With the bodies."""
        return f"comparison {' '.join(self._codes)}"[:80]

    def _chart(self) -> None:
        from claybench.figure.charts import compare_chart

        heading = f"{' · '.join(self._codes)}   mean ± half the 95 % interval; time × the control's"
        self.query_one("#heading", Static).update(heading)
        view = self.query_one(ChartView)
        try:
            view.show(compare_chart(self._found, self._shown))
        except BadInput as error:
            view.say(str(error))

    def action_property(self, by: int) -> None:
        """Another property in the chart."""
        having = [name for name in PROPERTIES if any(name in result.properties for result in self._found)]
        if having:
            at = having.index(self._shown) if self._shown in having else 0
            self._shown = having[(at + by) % len(having)]
            self._chart()

    def action_report(self) -> None:
        """Save the comparison, with the property shown among its figures."""
        from claybench.tui.papers import print_comparison

        shown = [self._shown] if any(self._shown in result.properties for result in self._found) else []
        self.run_worker(print_comparison(self.app, self._codes, shown), exit_on_error=False)

    def action_figure(self) -> None:
        """Save the figure."""
        from claybench.figure.charts import compare_chart
        from claybench.tui.plot import save_figure

        name = f"{' '.join(self._codes)} {MEASURES[self._shown].label}"
        self.run_worker(
            save_figure(self.app, lambda: compare_chart(self._found, self._shown), name[:80]),
            exit_on_error=False,
        )


def _time(time: Any) -> str:
    text = f"{time.median:.2f} ±{(time.high - time.low) / 2:.2f}"
    return Shown(text, time.median, parts=(("median", time.median), ("low", time.low), ("high", time.high)))


def _short(summary: Any, digits: int) -> str:
    if summary is None:
        return NOTHING
    parts = (("mean", summary.mean), ("low", summary.low), ("high", summary.high))
    if summary.low is None:
        return Shown(f"{summary.mean:.{digits}f}", summary.mean, parts=parts)
    text = f"{summary.mean:.{digits}f} ±{(summary.high - summary.low) / 2:.{digits}f}"
    return Shown(text, summary.mean, parts=parts)
