"""The usual cautions of an act, as a form or a screen shows them where the act happens."""

from __future__ import annotations

from collections.abc import Mapping


def care(act: str, materials: Mapping[str, str | None] | None = None) -> str:
    """Each caution on a line of its own, with its source; the one that defers to local codes last."""
    from claybench.mix.cautions import cautions_for

    return "\n".join(f"! {caution.line()}" for caution in cautions_for(act, materials))
