"""The plan file: TOML read into a `PlanRequest` with a plain word on every fault, and written back.

What was asked is in `plan_asked`; bounds that contradict each other are named by `region`.
"""

from __future__ import annotations

import difflib
import json
import math
import re
import tomllib
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import fields
from datetime import date, datetime, time
from typing import Any

from claybench import clock
from claybench.errors import BadInput
from claybench.insight.plan.design.optimal import TERMS
from claybench.insight.plan.design.plan_request import (
    ENDS_BETWEEN,
    LAYOUTS,
    BenchHoursRequest,
    FirstSetRequest,
    Hours,
    PlanRequest,
)
from claybench.insight.plan.design.plan_values import (
    read_bounded,
    read_bounds,
    read_code,
    read_codes,
    read_count,
    read_hours,
    read_line,
    read_table,
    refuse_unknown_keys,
    value_text,
)
from claybench.insight.plan.design.region import Group, Region
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.property_set import PropertySet
from claybench.terms.naming import Names

KEYS = tuple(each.name for each in fields(PlanRequest))
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MOST_BODIES = 200
_FIRST = ("kind", "between", "degree", "model")
_KINDS_OF_KEY = {"between": ("line", "triangle"), "degree": ("lattice",), "model": ("D-optimal", "I-optimal")}
"""Keys of [first] that say something to some kinds only."""
_BARE = re.compile(r"[A-Za-z0-9_-]+")


def parse_plan(text: str, properties: PropertySet = BUILT_IN) -> PlanRequest:
    """Read a plan.

    Raises
    ------
    BadInput
        Anything that cannot be taken, with the line or the key, and what would work.
    """
    try:
        table = tomllib.loads(text.removeprefix("\ufeff"))
    except (ValueError, RecursionError) as error:
        raise BadInput(
            f"The plan cannot be read as TOML: {error}.", 'Names with spaces and text stand in "quotes".'
        ) from error
    refuse_unknown_keys(table, KEYS, "A plan")
    if "count" not in table:
        raise BadInput(
            "The plan does not say how many bodies.", "Add count = 6 above the first [table].", field="count"
        )
    family = read_code(table["family"], "family") if "family" in table else None
    base = read_code(table["base"], "base") if "base" in table else None
    materials = _materials(table.get("materials", {}))
    if family is None and base is None:
        raise BadInput("The plan names no family.", 'Add family = "…", or a base body.', field="family")
    if not materials and base is None:
        raise BadInput(
            "The plan names no materials.", "Give bounds under [materials], or a base body.", field="materials"
        )
    plan = PlanRequest(
        title=read_line(table.get("title", ""), "title"),
        family=family,
        count=read_count(table["count"], "count", 1, MOST_BODIES),
        cone=_cone(table),
        peak_temp_c=read_bounded(table["peak_temp_c"], "peak_temp_c", 100, 2000) if "peak_temp_c" in table else None,
        base=base,
        materials=materials,
        fixed=_fixed(table.get("fixed", {}), materials),
        groups=_groups(table.get("groups", []), materials),
        targets=_targets(table.get("targets", {}), properties),
        bench=_bench(table["bench"]) if "bench" in table else None,
        batch_g=read_bounded(table["batch_g"], "batch_g", 1, 1e6) if "batch_g" in table else None,
        first=_first(table["first"]) if "first" in table else None,
    )
    if materials:
        # Bounds that contradict each other are named now, not when the lab is opened.
        Region.from_bounds(materials, plan.groups)
    return plan


def format_plan(plan: PlanRequest) -> str:
    """The plan as a file that reads back the same."""
    head = {key: getattr(plan, key) for key in ("title", "family", "count", "cone", "peak_temp_c", "base", "batch_g")}
    parts = [_lines({key: value for key, value in head.items() if value not in (None, "")})]
    if plan.materials:
        parts.append("[materials]\n" + _lines(plan.materials))
    if plan.fixed:
        parts.append("[fixed]\n" + _lines(plan.fixed))
    for group in plan.groups:
        parts.append("[[groups]]\n" + _lines({"materials": group.materials, "between": (group.low, group.high)}))
    if plan.targets:
        parts.append("[targets]\n" + _lines(plan.targets))
    if plan.first is not None:
        own = {name: getattr(plan.first, name) for name in _FIRST}
        parts.append("[first]\n" + _lines({name: value for name, value in own.items() if value}))
    if plan.bench is not None:
        parts.append("[bench]\n" + _lines(_bench_lines(plan.bench)))
    return "\n".join(parts)


def _misplaced(name: str, where: str) -> None:
    """A line that belongs above the first table, but was written below it."""
    if name in KEYS:
        raise BadInput(f"{name} stands under [{where}].", f"Put {name} above the first [table].", field=name)


def _materials(value: object) -> dict[str, tuple[float, float]]:
    table = read_codes(read_table(value, "materials"), "[materials]")
    for name in table:
        _misplaced(name, "materials")
    return {name: read_bounds(ends, name, 0, 100) for name, ends in table.items()}


def _fixed(value: object, materials: Mapping[str, object]) -> dict[str, float]:
    table = read_codes(read_table(value, "fixed"), "[fixed]")
    varied = {name.casefold() for name in materials}
    for name in table:
        _misplaced(name, "fixed")
        if name.casefold() in varied:
            raise BadInput(
                f"{name} is varied and fixed at once.", "Leave it under [materials] or under [fixed].", field=name
            )
    return {name: read_bounded(parts, name, 0, 100) for name, parts in table.items()}


def _groups(value: object, materials: Mapping[str, object]) -> tuple[Group, ...]:
    if not isinstance(value, list):
        raise BadInput("groups is one table.", "Write [[groups]], in two brackets, before each.", field="groups")
    return tuple(_group(read_table(each, "groups"), materials) for each in value)


def _group(table: dict[str, Any], materials: Mapping[str, object]) -> Group:
    refuse_unknown_keys(table, ("materials", "between"), "A group")
    named = table.get("materials")
    if not isinstance(named, list) or not named or "between" not in table:
        raise BadInput(
            "A group lacks its materials or its bounds.",
            'Write materials = ["…", "…"] and between = [40, 60].',
            field="groups",
        )
    own = {name.casefold(): name for name in materials}
    codes = []
    for each in named:
        code = read_code(each, "groups")
        name = own.get(code.casefold(), code)
        if materials and name not in materials:
            near = Names("material", tuple(materials)).close(code, 1)
            raise BadInput(
                f"A group names {code}, which has no bounds under [materials].",
                f"Did you mean {near[0]}?" if near else f"There are {', '.join(materials)}.",
                field="groups",
            )
        codes.append(name)
    if len({code.casefold() for code in codes}) < len(codes):
        raise BadInput("A group names a material twice.", "Name each once.", field="groups")
    return Group(tuple(codes), *read_bounds(table["between"], "between", 0, 100))


def _targets(value: object, properties: PropertySet) -> dict[str, tuple[float, float]]:
    table = read_table(value, "targets")
    for name in table:
        _misplaced(name, "targets")
    refuse_unknown_keys(table, properties.targets, "[targets]")
    return {name: read_bounds(ends, name, -math.inf, math.inf) for name, ends in table.items()}


def _cone(table: Mapping[str, Any]) -> str | None:
    if "cone" not in table:
        return None
    if "peak_temp_c" in table:
        raise BadInput("The plan gives a cone and a peak temperature.", "Give the one your firings have.", field="cone")
    cone = table["cone"]
    # 06 is no number in TOML, so that a bare number is never another cone.
    return str(cone) if isinstance(cone, int) and not isinstance(cone, bool) else read_code(cone, "cone")


def read_layout(value: object) -> str:
    """A way to lay out a first set, in whatever case.

    >>> read_layout("d-Optimal")
    'D-optimal'
    """
    word = read_line(value, "kind")
    own = {kind.casefold(): kind for kind in LAYOUTS}
    if word.casefold() not in own:
        near = difflib.get_close_matches(word.casefold(), list(own), n=1, cutoff=0.5)
        hint = f"Did you mean {own[near[0]]}?" if near else ""
        raise BadInput(
            f"No first set is laid out as {value_text(word)}.",
            hint or f"Choose one of {', '.join(LAYOUTS)}.",
            field="kind",
        )
    return own[word.casefold()]


def _first(value: object) -> FirstSetRequest:
    table = read_table(value, "first")
    refuse_unknown_keys(table, _FIRST, "[first]")
    kind = read_layout(table["kind"]) if "kind" in table else None
    for key, kinds in _KINDS_OF_KEY.items():
        if key in table and kind not in kinds:
            raise BadInput(
                f"{key} says nothing to a set laid out as {kind or 'the plan chooses'}.",
                f"It goes with kind = {' or '.join(map(_quoted, kinds))}.",
                field=key,
            )
    between = table.get("between", [])
    ends = ENDS_BETWEEN.get(kind or "", 0)
    if not isinstance(between, list) or (between and len(between) != ends):
        raise BadInput(
            f"between is {value_text(between)}.",
            f"Name {ends} bodies or materials, in brackets and quotes.",
            field="between",
        )
    model = table.get("model")
    if model is not None and model not in TERMS:
        raise BadInput(f"There is no mixture model {value_text(model)}.", f"Choose {', '.join(TERMS)}.", field="model")
    return FirstSetRequest(
        kind=kind,
        between=tuple(read_code(each, "between") for each in between),
        degree=read_count(table["degree"], "degree", 1, 20) if "degree" in table else None,
        model=model,
    )


def _bench(value: object) -> BenchHoursRequest:
    table = read_table(value, "bench")
    refuse_unknown_keys(table, ("hours", *DAYS, "closed"), "[bench]")
    if "hours" not in table and not any(day in table for day in DAYS):
        raise BadInput("[bench] gives no hours.", 'Write hours = ["09:00", "17:00"].', field="hours")
    usual = read_hours(table.get("hours", []), "hours")
    weekdays = tuple(read_hours(table[day], day) if day in table else usual for day in DAYS)
    if not any(weekdays):
        raise BadInput("The bench never opens.", 'Write hours = ["09:00", "17:00"].', field="hours")
    closed = table.get("closed", [])
    if not isinstance(closed, list):
        raise BadInput(f"closed is {value_text(closed)}.", "Write a list of days: [2026-12-24].", field="closed")
    return BenchHoursRequest(weekdays, tuple(_read_closed_day(each) for each in closed))


def _read_closed_day(value: object) -> date:
    if isinstance(value, str):
        with suppress(BadInput):
            value = clock.parse_day(value.strip())
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    raise BadInput(f"closed names {value_text(value)}, not a day.", "Write days as 2026-12-24.", field="closed")


def _bench_lines(bench: BenchHoursRequest) -> dict[str, object]:
    open_days = [hours for hours in bench.weekdays if hours is not None]
    usual = max(open_days, key=open_days.count)
    lines: dict[str, object] = {"hours": usual}
    lines |= {day: hours or () for day, hours in zip(DAYS, bench.weekdays, strict=True) if hours != usual}
    return lines | ({"closed": bench.closed} if bench.closed else {})


def _lines(table: Mapping[str, Any]) -> str:
    return "".join(f"{key if _BARE.fullmatch(key) else _quoted(key)} = {_value(table[key])}\n" for key in table)


def _value(value: str | float | date | time | Hours | tuple[Any, ...]) -> str:
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, tuple):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, time):
        return f'"{value:%H:%M}"'
    if isinstance(value, date):
        return value.isoformat()
    return str(int(value)) if math.isfinite(value) and value == int(value) and abs(value) < 1e15 else repr(value)


def _quoted(text: str) -> str:
    # JSON's text is TOML's, but for one control character.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
