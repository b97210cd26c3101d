"""Forms for slabs: an old one entered in a few keys, weighings, and whatever else happens."""

from __future__ import annotations

from typing import TYPE_CHECKING

from claybench.terms import Slab, SlabEvent
from claybench.tui.care import care
from claybench.tui.forms import Ask, Form
from claybench.tui.forms.form import Doubt, Values

if TYPE_CHECKING:
    from claybench.tui.app import Notebook

_ASKED: dict[str, tuple[str, ...]] = {
    "weighed": ("mass_g", "at", "note"),
    "weighed_dry": ("mass_g", "at", "note"),
    "turned": ("at", "note"),
    "demoulded": ("at", "mass_g", "note"),
    "set": ("at", "note"),
    "moved": ("place", "air_temp_c", "air_rh_pct", "air_speed_m_s", "until", "at", "note"),
    "wetted": ("water_g", "face", "at", "note"),
    "other_clay": ("family", "water_g", "face", "at", "note"),
    "ring_test": (),  # has a form of its own
    "cleaned": ("face", "water_g", "at", "note"),
    "resurfaced": ("face", "mass_g", "at", "note"),
    "chipped": ("face", "count", "at", "note"),
    "broken": ("at", "note"),
    "stained": ("face", "at", "note"),
    "salts": ("face", "count", "at", "note"),
    "note": ("note", "at"),
}
_TITLES = {
    "weighed": "What slab {} weighs, bare",
    "weighed_dry": "Slab {} has stopped losing weight: its dry mass",
    "other_clay": "Other clay dried on slab {}",
}
_NOTES = {
    "weighed_dry": "Dry means constant mass: two weighings a day apart that agree.",
}
_ACTS = {"weighed_dry": "dry_slab", "moved": "dry_slab", "resurfaced": "resurface_slab", "cleaned": "clean_slab"}
_ACTS |= {"demoulded": "demould"}
"""Which cautions belong to an event."""


async def enter_old(app: Notebook) -> None:
    """A slab that was there before the record began."""
    from claybench.work.slabs import enter_slab

    async def save(values: Values) -> str:
        mass = values.pop("mass_g")
        slab = Slab(**values)
        await app.do(enter_slab, slab, at=app.now(), mass_g=mass)
        app.say_last()
        return slab.slab

    asks = [
        Ask.of(Slab, "slab", note="what is scratched into it, such as P1"),
        Ask.of(Slab, "family", note="what dries on it"),
        Ask.of(Slab, "shape", "rectangle", required=True),
        Ask.of(Slab, "length_mm", typed_in="mm", note="or diameter: 50 cm, 20 in"),
        Ask.of(Slab, "width_mm", typed_in="mm", note="empty for a round one"),
        Ask.of(Slab, "thickness_mm", typed_in="mm"),
        Ask(
            name="mass_g",
            label="weighs now",
            kind="number",
            unit="g",
            above=0,
            note="bare; its wetness follows",
        ),
        Ask.of(Slab, "mix_ratio", note="if you know it"),
        Ask.of(Slab, "dry_mass_g", note="if you know it"),
        Ask.of(Slab, "usable_area_cm2", note="without a margin all round"),
        Ask.of(Slab, "note"),
    ]
    form = Form("A slab that was there before", asks, save, draft="old slab", tab="slabs",
                note="Weigh it now, and again when it stops losing weight (d).")  # fmt: skip
    await app.push_screen(form)


async def log_event(app: Notebook, slab: str, event: str) -> None:
    """One line of a slab's log."""
    from claybench.work.slabs import log_slab

    if event == "ring_test":
        from claybench.tui.slabs.ring import ring_test

        await ring_test(app, slab)
        return

    async def save(values: Values) -> str:
        await app.do(log_slab, SlabEvent(slab=slab, event=event, **values))
        app.say_last()
        return slab

    asks = []
    for name in _ASKED[event]:
        required = name in ("mass_g", "place") and event in ("weighed", "weighed_dry", "moved")
        text = {"at": "now", "place": "shelf"}.get(name, "")
        about = {"required": True} if required else {}
        asks.append(
            Ask.of(SlabEvent, name, text or None, **about) if name != "at" else Ask.of(SlabEvent, "at", text="now")
        )
    doubts: Doubt | None = None
    if event == "weighed_dry":
        from claybench.ask.slabs import last_weighing
        from claybench.insight.dry_out import doubt_of_dry

        before = await app.consult(last_weighing, slab)

        def doubts(values: Values) -> list[tuple[str, str]]:
            if before is None or values.get("mass_g") is None or values.get("at") is None:
                return []
            hours = (values["at"] - before.at).total_seconds() / 3600
            said = doubt_of_dry(before.mass_g, hours, values["mass_g"], before.tolerance_pct)
            return [("mass_g", said)] if said else []

    notes = [_NOTES.get(event, ""), care(_ACTS[event]) if event in _ACTS else ""]
    title = _TITLES.get(event, "Slab {}: " + event.replace("_", " ")).format(slab)
    form = Form(
        title, asks, save, draft=f"{event} {slab}", tab="slabs", doubts=doubts, note="\n".join(filter(None, notes))
    )
    await app.push_screen(form)


async def what_happened(app: Notebook, slab: str) -> None:
    """Choose what happened, then say the rest."""

    async def save(values: Values) -> str:
        return str(values["event"])

    words = tuple(word for word in _ASKED if word not in ("weighed", "weighed_dry", "turned"))
    ask = Ask(name="event", label="what happened", kind="word", words=words, required=True, text=words[0])
    form = Form(f"What happened to slab {slab}?", [ask], save, draft=f"event {slab}", tab="slabs")

    def then(event: object) -> None:
        if isinstance(event, str):
            app.run_worker(log_event(app, slab, event), exit_on_error=False)

    await app.push_screen(form, then)


async def service(app: Notebook, slab: Slab) -> None:
    """When it came into service, and when it was retired."""
    from claybench.tui.bench.forms import correct_row

    await correct_row(app, slab, ("in_service_on", "retired_on"), f"Slab {slab.slab} in service")


async def correct_slab(app: Notebook, slab: Slab) -> None:
    """Everything on the slab's card."""
    from claybench.terms import TABLE_OF
    from claybench.tui.bench.forms import correct_row

    await correct_row(app, slab, [name for name in TABLE_OF[Slab].names if name != "slab"], f"Correct slab {slab.slab}")
