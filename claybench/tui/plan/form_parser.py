"""What is typed into a plan's form, understood at once: a plan, or what is wrong and beside which field. No widget."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from claybench import quantity
from claybench.acts.field import ActField
from claybench.ask.plan import PlanStart
from claybench.errors import BadInput
from claybench.insight.plan.design.plan_request import ENDS_BETWEEN, BenchHoursRequest, FirstSetRequest, PlanRequest
from claybench.insight.plan.design.region import MOST_MATERIALS, Group, Region, conflicting_constraints
from claybench.quantity.shown import format_bounds, plain
from claybench.terms import CODE_LENGTH
from claybench.terms.naming import Names
from claybench.tui.plan.form_fields import PAIR_TABLES, split_pair
from claybench.tui.plan.typed_ranges import bench_hours_text, parse_bench_hours, parse_bounds

Span = tuple[float, float]
_APART = re.compile(r"\s*(?:,|\+|&|\band\b)\s*")


@dataclass(frozen=True, slots=True)
class FieldNote:
    """What to say beside a field."""

    text: str
    kind: str = ""
    """`wrong`, `doubt`, or nothing where it is understood."""


def field_note(text: str, doubtful: bool) -> FieldNote:
    """What a list of names says of one that was typed."""
    return FieldNote(text, "doubt" if doubtful else "")


@dataclass(slots=True)
class ParsedPlanForm:
    """A form as it stands."""

    notes: dict[str, FieldNote] = field(default_factory=dict)
    request: PlanRequest | None = None
    """None while something is wrong or missing."""
    problem: str = ""
    """What concerns the form as a whole: what is missing, or which bounds contradict each other."""
    remarks: list[str] = field(default_factory=list)
    """What the bounds allow and what the lab knows of it."""

    @property
    def wrong(self) -> list[str]:
        """Names of the fields that cannot be used."""
        return [name for name, text in self.notes.items() if text.kind == "wrong"]

    def blame(self, name: str, reason: str) -> None:
        """Say that a field cannot be used; what was said of it first stands."""
        if self.notes.get(name, FieldNote("")).kind != "wrong":
            self.notes[name] = FieldNote(reason, "wrong")


def parse_plan_form(
    typed: Mapping[str, str],
    heads: Sequence[ActField],
    start: PlanStart,
    now: datetime,
    given: PlanRequest | None = None,
) -> ParsedPlanForm:
    """Understand everything typed; `given` is the plan that was opened, for what the form does not ask."""
    return PlanFormParser(typed, start, now, given).read(heads)


class PlanFormParser:
    """Reads the fields of a plan's form one after another, and notes beside each what is understood or wrong."""

    def __init__(self, typed: Mapping[str, str], start: PlanStart, now: datetime, given: PlanRequest | None) -> None:
        self.typed, self.start, self.now, self.given = typed, start, now, given
        self.parsed = ParsedPlanForm()
        self.materials: dict[str, Span] = {}
        self.rows: dict[str, str] = {}
        """By material as varied, in small letters: its line."""
        self.group_rows: list[str] = []
        self.names = Names("material", tuple(row.material for row in start.materials.values()))

    def read(self, heads: Sequence[ActField]) -> ParsedPlanForm:
        """Everything understood; a plan where nothing is wrong or missing."""
        head = {ask.name: self._read_field(ask) for ask in heads}
        bench = self._bench()
        first = self._first(head["first"])
        self._materials()
        fixed = self._fixed()
        groups = self._groups()
        targets = self._targets()
        self._check_whole(head)
        region = self._region(groups)
        if self.parsed.wrong or self.parsed.problem:
            return self.parsed
        self.parsed.request = PlanRequest(
            title=str(head["title"] or ""),
            count=int(head["count"]),
            **{name: head[name] for name in ("family", "cone", "peak_temp_c", "base", "batch_g")},
            materials=self.materials,
            fixed=fixed,
            groups=tuple(groups),
            targets=targets,
            bench=bench,
            first=first,
        )
        self.parsed.remarks = self._remarks(self.parsed.request, region)
        return self.parsed

    # -- single fields -----------------------------------------------------------------------------

    def _read_field(self, ask: ActField) -> Any:
        text = self.typed.get(ask.name, "")
        if ask.name == "hours":
            return None
        understood = ask.understand(text, self.now)
        if understood.wrong:
            if text.strip():
                self.parsed.blame(ask.name, understood.wrong)
            else:
                self.parsed.problem = self.parsed.problem or f"Still missing: {ask.label}."
        elif understood.echo:
            self.parsed.notes[ask.name] = FieldNote(understood.echo)
        elif ask.name == "family" and text.strip():
            families = Names("family", self.start.families)
            self.parsed.notes["family"] = field_note(*families.says(text.strip(), made=True))
        return self._as_spelt(ask.name, understood.value)

    def _as_spelt(self, name: str, value: Any) -> Any:
        """A family or body as the lab writes it."""
        known = {"family": self.start.families, "base": self.start.bodies}.get(name, ())
        return next((each for each in known if each.casefold() == str(value).casefold()), value)

    def _bench(self) -> BenchHoursRequest | None:
        text = self.typed.get("hours", "").strip()
        if not text:
            return None
        try:
            bench = parse_bench_hours(text, self.now)
        except BadInput as error:
            self.parsed.blame("hours", str(error))
            return None
        self.parsed.notes["hours"] = FieldNote(f"= {bench_hours_text(bench)}")
        return bench

    def _first(self, kind: str | None) -> FirstSetRequest | None:
        """How a first set is laid out; what a file says of it beyond the form stays, while the kind does."""
        names = tuple(part for part in re.split(r"\s*[,+&]\s*", self.typed.get("between", "").strip()) if part)
        ends = ENDS_BETWEEN.get(kind or "", 0)
        if names and len(names) != ends:
            works = f"A {kind} runs between {ends}." if ends else "Only a line or a triangle has ends."
            self.parsed.blame("between", works)
            return None
        if kind is None:
            return None
        held = self.given.first if self.given is not None else None
        if held is not None and held.kind == kind:
            return replace(held, between=names)
        return FirstSetRequest(kind=kind, between=names)

    def _filled_lines(self, table: str) -> list[tuple[str, str, str]]:
        """Field, name and value of each line that is filled in; one that is half empty is blamed."""
        lines = []
        for key, text in self.typed.items():
            if key.rpartition("-")[0] != table:
                continue
            name, value = split_pair(text)
            if not name and not value:
                continue
            if not name:
                self.parsed.blame(key, "Of which material?")
            elif len(name) > CODE_LENGTH and table != "groups":
                self.parsed.blame(key, f"A name has {CODE_LENGTH} letters at most.")
            elif not value:
                self.parsed.blame(key, "How much? Such as 1." if table == "fixed" else "Between what? Such as 30-60.")
            else:
                lines.append((key, name, value))
        return lines

    def _span(self, key: str, text: str, low: float, high: float, example: str) -> Span | None:
        try:
            return parse_bounds(text, low, high, example)
        except BadInput as error:
            self.parsed.blame(key, str(error))
            return None

    # -- tables ------------------------------------------------------------------------------------

    def _materials(self) -> None:
        for key, name, value in self._filled_lines("materials"):
            spelt, span = self.start.spelt(name), self._span(key, value, 0, 100, "30-60")
            if name.casefold() in self.rows:
                self.parsed.blame(key, f"{spelt} stands there already.")
            elif span is not None:
                self.materials[spelt] = span
                self.rows[spelt.casefold()] = key
                low, high = span
                amount = f"always {plain(low)}" if low == high else f"{plain(low)} to {plain(high)} parts"
                self.parsed.notes[key] = self._amount_note(spelt, amount)

    def _amount_note(self, name: str, amount: str) -> FieldNote:
        """How much of a material, and whether the lab has it, or one of a name near to it."""
        words, doubtful = self.names.says(name, made=True)
        return field_note(f"= {amount}; {words}" if words else f"= {amount}", doubtful)

    def _fixed(self) -> dict[str, float]:
        fixed: dict[str, float] = {}
        for key, name, value in self._filled_lines("fixed"):
            spelt = self.start.spelt(name)
            try:
                parts = quantity.parse_number(value)
            except BadInput as error:
                self.parsed.blame(key, str(error))
                continue
            if not 0 <= parts <= 100:
                self.parsed.blame(key, "Parts on top of the 100 run from 0 to 100.")
            elif spelt.casefold() in self.rows:
                self.parsed.blame(key, f"{spelt} is varied above: leave it there or here.")
            elif spelt.casefold() in {each.casefold() for each in fixed}:
                self.parsed.blame(key, f"{spelt} stands there already.")
            else:
                fixed[spelt] = parts
                self.parsed.notes[key] = self._amount_note(spelt, f"{plain(parts)} on top of the 100")
        return fixed

    def _groups(self) -> list[Group]:
        groups = []
        for key, name, value in self._filled_lines("groups"):
            try:
                members = self._members(name)
            except BadInput as error:
                self.parsed.blame(key, str(error))
                continue
            span = self._span(key, value, 0, 100, "45-60")
            if span is not None:
                group = Group(members, *span)
                groups.append(group)
                self.group_rows.append(key)
                self.parsed.notes[key] = FieldNote(f"= {group.name}: {plain(span[0])} to {plain(span[1])}")
        return groups

    def _members(self, text: str) -> tuple[str, ...]:
        kind = text.casefold().removesuffix("s").removesuffix("e")
        known = {name: self.start.materials.get(name.casefold()) for name in self.materials}
        of_kind = tuple(name for name, own in known.items() if own is not None and own.kind == kind)
        if of_kind and text.casefold() not in self.rows:
            return of_kind
        members: list[str] = []
        for part in _APART.split(text):
            if not part:
                continue
            own = [name for name in self.materials if name.casefold() == part.casefold()]
            own = own or [name for name in self.materials if name.casefold().startswith(part.casefold())]
            if len(own) != 1:
                near = Names("material", tuple(self.materials)).close(part, 1)
                remedy = f"Did you mean {near[0]}?" if near else "Give it bounds above first."
                raise BadInput(f"{part} is not among the materials above.", remedy)
            if own[0] in members:
                raise BadInput(f"{own[0]} stands there twice.", "Name each once.")
            members.append(own[0])
        return tuple(members)

    def _targets(self) -> dict[str, Span]:
        targets: dict[str, Span] = {}
        for name in self.start.properties.targets:
            text = self.typed.get(name, "").strip()
            if not text:
                continue
            span = self._span(name, text, 0.0, math.inf, "11-12.5")
            if span is None:
                continue
            if span[0] == span[1]:
                self.parsed.blame(name, "One number is never met exactly: write two, such as 11-12.5, or up to 2.")
                continue
            targets[name] = span
            self.parsed.notes[name] = FieldNote(f"= {format_bounds(span)}" if math.isinf(span[1]) else f"= {plain(span[0])} to {plain(span[1])}")  # fmt: skip
            if self.start.properties[name].worked_out == "prices":
                self._prices(name)
        return targets

    def _prices(self, target: str) -> None:
        known = self.start.materials
        free = [name for name in self.materials if name.casefold() not in known or known[name.casefold()].price_per_kg is None]  # fmt: skip
        if free:
            self.parsed.notes[target] = FieldNote(f"no price yet: {', '.join(free)}", "doubt")

    # -- what only the whole says ------------------------------------------------------------------

    def _check_whole(self, head: Mapping[str, Any]) -> None:
        parsed, base = self.parsed, head["base"]
        if head["cone"] is not None and head["peak_temp_c"] is not None:
            parsed.blame("peak_temp_c", "Give the cone or the temperature, the one your firings have.")
        if base is not None and base not in self.start.bodies:
            parsed.blame("base", f"There is no body {base} in this lab.")
        if len(self.materials) > MOST_MATERIALS:
            parsed.blame(list(self.rows.values())[-1], f"At most {MOST_MATERIALS} can be varied; fix the others below.")
        missing = []
        if base is None and head["family"] is None:
            missing.append("family, or a body to start from")
        if base is None and len(self.materials) < 2 and not any(self._unfinished("materials")):
            missing.append("two materials with bounds")
        if missing and not parsed.problem:
            parsed.problem = f"Still missing: {'; '.join(missing)}."

    def _unfinished(self, table: str) -> list[bool]:
        """Whether lines of a table are being typed: then what is wrong with them is said beside them."""
        return [name in self.parsed.wrong for name in self.typed if name.startswith(f"{table}-")]

    def _region(self, groups: Sequence[Group]) -> Region | None:
        """The region; where bounds leave nothing, each of those that contradict each other is named beside its line."""
        if len(self.materials) < 2 or any(name.rpartition("-")[0] in PAIR_TABLES for name in self.parsed.wrong):
            return None
        try:
            region = Region.from_bounds(self.materials, groups)
        except BadInput as error:
            self.parsed.problem = str(error)
            clash = conflicting_constraints(self.materials, groups)
            keys = dict(zip(self.materials, self.rows.values(), strict=True))
            keys |= {group.name: key for group, key in zip(groups, self.group_rows, strict=True)}
            for limit in clash:
                others = [other.name for other in clash if other != limit]
                against = others[0] if len(others) == 1 else "the others marked ✗"
                reason = f"not with {against}" if others else "parts sum to 100"
                self.parsed.blame(keys[limit.label], f"{limit.name}: {reason}")
            return None
        for name, (low, high) in region.narrowed().items():
            note = self.parsed.notes[self.rows[name.casefold()]]
            text = f"{note.text}; the other bounds leave {plain(round(low, 1))} to {plain(round(high, 1))}"
            self.parsed.notes[self.rows[name.casefold()]] = FieldNote(text, note.kind)
        return region

    def _remarks(self, request: PlanRequest, region: Region | None) -> list[str]:
        lines = []
        if region is not None:
            lines.append(f"The bounds agree and leave {len(region.corners)} corners.")
            made = self.start.made_of(request.materials, request.fixed)
            listed = ", ".join(made[:6]) + (f" and {len(made) - 6} more" if len(made) > 6 else "")
            count = "1 body of the lab is" if len(made) == 1 else f"{len(made)} bodies of the lab are"
            lines.append(f"{count} made of these: {listed}." if made else "No body of the lab is made of these alone: a first set.")  # fmt: skip
        if not request.targets:
            lines.append("No target yet: bodies are spread over what the bounds allow.")
        return lines
