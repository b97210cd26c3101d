"""The report of one body: recipe, batches, measures per firing, time to workable, pieces, faults."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import tzinfo
from pathlib import Path
from typing import Any

from claybench.ask.pieces import PieceLine
from claybench.ask.reports import BodyReport
from claybench.ask.search import scan_text
from claybench.insight.bodies.comparison.differences import BodyDifference
from claybench.insight.bodies.comparison.results import Measured
from claybench.insight.bodies.comparison.usual_ranges import UsualRange
from claybench.measure.properties.declaration import Property
from claybench.paper.beside import group_words, heat, label, mark, notes
from claybench.paper.page import paper_size, text, use_fonts, write
from claybench.paper.parts import Col, gap, heading, table, title, together
from claybench.paper.said import amount, count, day, firing_words, interval_of, moment, plain_word, share
from claybench.quantity.shown import interval, plain
from claybench.terms import Body

_OF_PIECES = 5
"""Properties of single pieces that a line has room for; none that follows from the others."""


def body_report(held: BodyReport, path: str | Path, *, paper: str | None = None) -> None:
    """Write the report of one body as a PDF, on the lab's paper where none is named."""
    paper = paper or held.paper
    paper_size(paper)
    use_fonts()
    body, zone = held.page.body, held.at.tzinfo
    lines = [
        body.title or "without a title",
        ", ".join(part for part in _kin(held) if part),
        f"as of {moment(held.at, zone)}",
    ]
    story: list[Any] = [
        *title(body.body, lines, scan_text(Body, body.body), paper),
        *([text(body.note, 9)] if body.note else []),
        *_recipe(held, paper),
        *_batches(held, paper, zone),
        *_measures(held, paper),
        *_beside(held, paper),
        *_heat(held, paper),
        *_times(held, paper, zone),
        *_pieces(held, paper),
        *_faults(held, paper, zone),
    ]
    write(Path(path), f"Report of body {body.body}", f"{held.lab}  ·  Report of body {body.body}", paper, story)


def _kin(held: BodyReport) -> list[str]:
    body, page = held.page.body, held.page
    return [
        f"{body.family} family" if body.family else "of no family",
        "control of its family" if body.control else f"control {page.control}" if page.control else "",
        f"changed from {body.parent}" if body.parent else "",
        f"test set {body.test_set}" if body.test_set else "",
        f"changed into {', '.join(page.children)}" if page.children else "",
    ]


def _recipe(held: BodyReport, paper: str) -> list[Any]:
    body, lines = held.page.body, held.page.recipe
    found = heading("Recipe")
    if not lines:
        return [*found, text("none yet", 9)]
    total = sum(line.parts for line in lines) or 1.0
    columns = [Col("material", 60), Col("parts of dry mass", 20, right=True), Col("per cent", 20, right=True)]
    rows = [[line.material, plain(line.parts), plain(100 * line.parts / total, 1)] for line in lines]
    usual = [
        amount(body.workable_water_pct, "% of dry mass when workable"),
        f"slip {plain(body.slip_sg, 2)}" if body.slip_sg else "",
    ]
    water = ", ".join(part for part in usual if part)
    return [
        *found,
        table(columns, rows, paper, size=8.5),
        gap(1),
        *([text(f"Water as planned: {water}.", 8.5)] if water else []),
        *(text(f"! {caution}", 8) for caution in held.cautions),
    ]


def _batches(held: BodyReport, paper: str, zone: tzinfo | None) -> list[Any]:
    runs = Counter(each.run.batch for each in held.runs)
    pieces = Counter(code for code, _ in {(line.piece.batch, line.piece.piece) for line in held.lines})
    columns = [
        Col("batch", 14), Col("mixed", 16), Col("as", 8), Col("dry g", 9, right=True), Col("water g", 9, right=True),
        Col("slip", 8, right=True), Col("runs", 6, right=True), Col("pieces", 7, right=True), Col("by", 6),
        Col("note", 17),
    ]  # fmt: skip
    rows = [
        [
            batch.batch, moment(batch.mixed_at, zone), batch.made or "", amount(batch.dry_mass_g, "").strip(),
            amount(batch.water_g, "").strip(), "" if batch.slip_sg is None else plain(batch.slip_sg, 3),
            str(runs[batch.batch]), str(pieces[batch.batch]), batch.by or "", batch.note or "",
        ]
        for batch in sorted(held.page.batches, key=lambda batch: batch.mixed_at)
    ]  # fmt: skip
    found = heading(f"Batches ({len(rows)})")
    return [*found, table(columns, rows, paper) if rows else text("none yet", 9)]


def _measures(held: BodyReport, paper: str) -> list[Any]:
    columns = [
        Col("", 24), Col("unit", 8), Col("mean", 8, right=True), Col("95 % interval", 17, right=True),
        Col("spread of pieces", 10, right=True), Col("pieces in batches", 11, right=True),
        Col("usual in its family", 22),
    ]  # fmt: skip
    found = heading("Measures", 45)
    ranges = held.beside.ranges()
    own = [
        result
        for result in held.page.results
        if any(each.declared.is_shown_with(result.firing) for each in result.every)
    ]
    for result in own:
        usual = ranges.of_result(result)
        rows = [
            _measure(each, usual.get(each.name))
            for each in (*result.measured.values(), *result.apart)
            if each.declared.is_shown_with(result.firing)
        ]
        named = firing_words(result.firing, held.firings, held.at.tzinfo)
        found.append(together([*heading(named, 0, small=True), table(columns, rows, paper, size=8)]))
    if not own:
        return [*found, text("no piece measured yet", 9)]
    note = "Mean with its 95 % interval (Student's t); spread: standard deviation of single pieces."
    return [*found, *notes(own, note)]


def _measure(each: Measured, usual: UsualRange | None) -> list[Any]:
    declared, summary = each.declared, each.summary
    spread = "" if summary.sd is None else plain(summary.sd, declared.digits + 1)
    way = "; ".join(part for part in (each.way(), group_words(each)) if part)
    known: Any = ""
    if usual is not None and usual.kind == each.kind:
        many = f"{usual.bodies} {'body' if usual.bodies == 1 else 'bodies'}"
        known = f"{interval(usual.low, usual.high, digits=declared.digits)}, {many}"
    return [
        (declared.title, way) if way else declared.title,
        declared.sign,
        plain(summary.mean, declared.digits),
        interval_of(summary, declared) + mark(each),
        spread,
        count(summary),
        known,
    ]


def _beside(held: BodyReport, paper: str) -> list[Any]:
    """How far it lies from its family's control, firing by firing."""
    columns = [
        Col("", 22), Col("difference", 11, right=True), Col("by their own batches", 18, right=True),
        Col("by the lab's scatter", 18, right=True), Col("told apart", 20), Col("detectable", 11, right=True),
    ]  # fmt: skip
    found: list[Any] = []
    for result in held.beside.results:
        rows = [_apart(one) for one in held.beside.differences_of(result) if one.declared.is_shown_with(result.firing)]
        if rows:
            named = firing_words(result.firing, held.firings, held.at.tzinfo)
            found.append(together([*heading(named, 0, small=True), table(columns, rows, paper, size=8)]))
    if not found:
        return []
    note = (
        f"Mean less that of {held.beside.against} in the same firing, taken the same way, with 95 % intervals: by "
        "their own batches (Welch), and by the scatter of the lab's batches, which holds if theirs scatter alike. "
        "Detectable: the smallest true difference that so many batches would show four times in five."
    )
    return [*heading(f"How far from {held.beside.against}", 45), text(note, 7.5, grey=True), *found]


def _apart(one: BodyDifference) -> list[Any]:
    digits = one.declared.digits + 1

    def ends(low: float | None, high: float | None) -> str:
        return interval(low, high, digits=digits, signed=True)

    own = one.basis != "lab"
    return [
        label(one.declared, one.kind, short=True),
        plain(one.mean, digits, signed=True),
        ends(one.low if own else None, one.high if own else None),
        ends(one.lab_low, one.lab_high),
        one.words(),
        "" if one.minimum_detectable is None else plain(one.minimum_detectable, digits),
    ]


def _heat(held: BodyReport, paper: str) -> list[Any]:
    found = held.beside.vitrification()
    own = tuple(each for each in found.bodies if each.body == held.page.body.body)
    return heat(replace(found, bodies=own), paper)


def _times(held: BodyReport, paper: str, zone: tzinfo | None) -> list[Any]:
    found = heading(f"Time to workable ({len(held.runs)} layers)")
    time = next((result.relative_time for result in held.page.results if result.relative_time), None)
    if time is not None and held.page.control != held.page.body.body:
        against = held.page.control or "its family's median body"
        words = (
            f"{plain(time.median, 2)} times that of {against} (95 %: "
            f"{interval(time.low, time.high, digits=2)}; {time.n} runs)"
        )
        found += [text(f"Slab and wetness taken out: {words}.", 9), gap(1)]
    if not held.runs:
        return [*found, text("no layer poured yet", 9)]
    columns = [
        Col("run", 10), Col("batch", 14), Col("poured", 17), Col("slab", 9), Col("slip mm", 8, right=True),
        Col("wet at pour", 10, right=True), Col("workable after", 17), Col("how it ended", 15),
    ]  # fmt: skip
    rows = [
        [
            each.run.run, each.run.batch, moment(each.run.started_at, zone), each.run.slab,
            plain(each.layer.depth_mm, 1),
            share(each.wetness), each.time.text() if each.time else "not touched",
            plain_word(each.run.outcome) or "lies on the slab",
        ]
        for each in held.runs
    ]  # fmt: skip
    return [*found, table(columns, rows, paper)]


def _pieces(held: BodyReport, paper: str) -> list[Any]:
    every = held.beside.held.properties
    shown = [every[name] for name in every.first(_OF_PIECES, among=every.independent)]
    columns = [Col("piece", 9), Col("batch", 13), Col("run", 9), Col("firing", 10)]
    columns += [Col(f"{each.title} {each.sign}".rstrip(), 11, right=True) for each in shown]
    columns += [Col("colour", 11), Col("ended", 9)]
    mixed = {batch.batch: batch.mixed_at for batch in held.page.batches}
    rows = [_piece(line, shown) for line in sorted(held.lines, key=lambda line: mixed[line.piece.batch])]
    codes = {line.piece.piece for line in held.lines}
    found = heading(f"Pieces ({len(codes)})")
    return [*found, table(columns, rows, paper, size=7) if rows else text("none formed yet", 9)]


def _piece(line: PieceLine, shown: Sequence[Property]) -> list[str]:
    piece, fired = line.piece, line.fired
    cells = [piece.piece, piece.batch, piece.run or "", fired.firing if fired else "not fired"]
    for each in shown:
        value = line.measures.get(each.name)
        cells.append("" if value is None else plain(value, each.digits))
    return [*cells, (fired.colour or "") if fired else "", plain_word(piece.ended)]


def _faults(held: BodyReport, paper: str, zone: tzinfo | None) -> list[Any]:
    seen = [fault for fault in held.faults if fault.fault != "none"]
    clean = len(held.faults) - len(seen)
    found = heading(f"Faults ({len(seen)})")
    if clean:
        found += [text(f"Looked at and nothing found: {clean} times.", 9), gap(1)]
    if not seen:
        return [*found, *([] if clean else [text("nobody looked for any yet", 9)])]
    columns = [
        Col("seen", 13), Col("on", 14), Col("firing", 11), Col("fault", 14), Col("how many", 9, right=True),
        Col("note", 39),
    ]  # fmt: skip
    rows = [
        [
            day(fault.seen_on, zone),
            f"piece {fault.piece}" if fault.piece else f"layer {fault.run}",
            fault.firing or "",
            plain_word(fault.fault),
            "" if fault.count is None else str(fault.count),
            fault.note or "",
        ]
        for fault in seen
    ]
    return [*found, table(columns, rows, paper)]
