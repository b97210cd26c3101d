"""A list of cautions in one line: what each is about, in a word or two. What each says stands in `cautions`."""

from __future__ import annotations

from collections.abc import Iterable

from claybench.mix.material_cautions import Caution

_DEFERS = "defer"
"""It closes every list and names no hazard."""
_HEADINGS = {
    "plaster_burns": "setting plaster burns",
    "wet_cleaning": "cleaning up wet",
    "drain": "no plaster down a drain",
    "plaster_tools": "plaster kept from clay",
    "oven": "heat on plaster",
    "first_scrap": "sanding and first scrap layer",
    "power": "power near water",
    "boil_dry": "a pot boiling dry",
    "vent": "kiln fumes",
    "scald": "scalds",
    "damp_pieces": "damp pieces that burst",
    "look_into_kiln": "looking into a kiln",
    "leach": "leaching into food",
    "unknown": "what nobody knows of",
    "clay_into_water": "clay into water",
}


def caution_heading(caution: Caution) -> str:
    """What a caution is about: a hazard in a few words, or the material it is of; empty for the one that defers.

    >>> from claybench.facts.fact import Origin
    >>> caution_heading(Caution("Clay dust harms.", "", Origin.COMMON_PRACTICE, "plaster_dust"))
    'plaster dust'
    """
    if caution.key == _DEFERS:
        return ""
    return _HEADINGS.get(caution.key) or caution.key.removeprefix("own:").replace("leaves:", "kiln: ").replace("_", " ")


def folded_line(cautions: Iterable[Caution], how: str) -> str:
    """All of a list by their headings, each once, and how it is shown whole; empty where no hazard is named.

    >>> from claybench.mix.cautions import cautions_for
    >>> folded_line(cautions_for("lift"), "F4 shows it")
    '! Cautions: lifting. F4 shows it.'
    """
    headings = dict.fromkeys(filter(None, map(caution_heading, cautions)))
    return f"! Cautions: {', '.join(headings)}. {how}." if headings else ""
