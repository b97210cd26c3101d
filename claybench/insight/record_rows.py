"""What a question needs of the record: rows of some tables at one moment, with the lab's settings."""

from __future__ import annotations

from datetime import datetime, tzinfo
from typing import Protocol, TypeVar

from claybench.insight.settings import Settings
from claybench.measure.properties.property_set import PropertySet

R = TypeVar("R")


class RecordRows(Protocol):
    """Rows at one moment; `ask` reads them, and nothing here knows how."""

    @property
    def at(self) -> datetime:
        """The moment."""

    @property
    def zone(self) -> tzinfo:
        """The lab's time zone."""

    @property
    def settings(self) -> Settings:
        """The lab's settings."""

    @property
    def properties(self) -> PropertySet:
        """Every property of the lab."""

    def rows_read(self, kind: type[R]) -> list[R]:
        """Rows of one table; none where it was not read."""

    def rows(self, kind: type[R]) -> list[R]:
        """Rows of one table, in the order of entry."""

    def by_code(self, kind: type[R]) -> dict[str, R]:
        """Rows of one table by their code."""
