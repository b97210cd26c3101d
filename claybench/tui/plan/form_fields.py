"""The fields of a plan's form, and a plan written back into them. Knows no widget."""

from __future__ import annotations

from claybench.acts.field import ActField
from claybench.insight.plan.design.plan_file import MOST_BODIES
from claybench.insight.plan.design.plan_request import LAYOUTS, PlanRequest
from claybench.measure.properties.property_set import PropertySet
from claybench.quantity.shown import format_bounds, natural_key, plain
from claybench.tui.plan.typed_ranges import bench_hours_text

PAIR_TABLES = ("materials", "groups", "fixed")
"""Parts of the form that have as many lines as are filled in; each line is a name and a value."""
GAP = "\t"
"""Between name and value of a line, where it is kept as one text; cannot be typed."""
SECTIONS = {
    "materials": "Materials, lowest-highest parts of 100",
    "groups": "Groups: materials that are bounded together",
    "fixed": "Fixed: parts on top of the 100",
    "targets": "Targets: fill in those that matter",
    "first": "First set, while nothing of the targets is measured",
    "file": "Where it is kept",
}
NOTES = {
    "materials": "such as 30-60; Ctrl+t takes a line out",
    "groups": "ball clay, fire clay 45-60; or clays",
    "fixed": "bentonite   1",
}


def head_fields(families: tuple[str, ...], bodies: tuple[str, ...], bench: str) -> tuple[ActField, ...]:
    """Fields above the tables."""
    return (
        ActField("title", "title", required=True, note="names the set that is made from it", long=True),
        ActField("family", "family", "code", suggestions=tuple(sorted(families, key=natural_key)), note=", ".join(families[:4]) or "bodies that may share slabs"),
        ActField("count", "how many bodies", "whole", required=True, low=1, high=MOST_BODIES, text="6"),
        ActField("cone", "cone", "code", note="as written: 06 is not 6"),
        ActField("peak_temp_c", "or peak temperature", "number", "degC", low=100, high=2000, typed_in="°C"),
        ActField("base", "from body", "code", suggestions=tuple(sorted(bodies, key=natural_key)), note="its own parts ± 10, where none below"),
        ActField("batch_g", "dry clay a batch", "number", "g", above=0, high=1e6, note="as the family's usually are"),
        ActField("hours", "bench hours", note=f"the lab's {bench}", long=True),
    )  # fmt: skip


def first_set_fields() -> tuple[ActField, ...]:
    """How a first set is laid out."""
    return (
        ActField("first", "laid out as", "word", words=LAYOUTS, note="empty: the plan chooses"),
        ActField("between", "between", note="ends of a line or triangle: B-01, B-08", long=True),
    )


def target_fields(properties: PropertySet) -> tuple[ActField, ...]:
    """One field for each property that a target can speak of."""
    return tuple(
        ActField(name, properties[name].label, note=properties[name].example or "11-12.5")
        for name in properties.targets
    )


def file_field(folder: str) -> ActField:
    """Where the plan is kept."""
    return ActField("file", "file", note=f"by its title, in {folder}", long=True)


def plan_as_typed(request: PlanRequest) -> dict[str, str]:
    """A plan as it would be typed."""
    typed = {
        "title": request.title,
        "family": request.family or "",
        "count": str(request.count),
        "cone": request.cone or "",
        "peak_temp_c": "" if request.peak_temp_c is None else f"{plain(request.peak_temp_c)} °C",
        "base": request.base or "",
        "batch_g": "" if request.batch_g is None else f"{plain(request.batch_g)} g",
        "first": (request.first.kind or "") if request.first else "",
        "between": ", ".join(request.first.between) if request.first else "",
        "hours": "" if request.bench is None else bench_hours_text(request.bench),
    }
    rows = {
        "materials": [(name, format_bounds(ends)) for name, ends in request.materials.items()],
        "groups": [(", ".join(group.materials), format_bounds((group.low, group.high))) for group in request.groups],
        "fixed": [(name, plain(parts)) for name, parts in request.fixed.items()],
    }
    for table, pairs in rows.items():
        typed |= {f"{table}-{number}": GAP.join(pair) for number, pair in enumerate(pairs)}
    return typed | {name: format_bounds(ends, low=0) for name, ends in request.targets.items()}


def split_pair(text: str) -> tuple[str, str]:
    """Name and value of a line of a table."""
    name, _, value = text.partition(GAP)
    return name.strip(), value.strip()
