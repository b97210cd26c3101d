"""The usual cautions of an act, as a form or a screen shows them where the act happens."""

from __future__ import annotations

from collections.abc import Mapping

from claybench import mix


def caution_text(act: str, materials: Mapping[str, str | None] | None = None) -> str:
    """Each caution on a line of its own, with its source; the one that defers to local codes last."""
    return "\n".join(f"! {caution.line()}" for caution in mix.cautions.cautions_for(act, materials))
