"""Commands in this process, for tests that hold an act's command against its form."""

from __future__ import annotations

from tests.cli.conftest import Command, command

__all__ = ["Command", "command"]
