"""The docs say what the code does: generated pages are up to date, links lead somewhere."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.docs.reference import DOCS, PAGES

PAGES_WRITTEN = sorted(DOCS.glob("*.md"))


@pytest.mark.parametrize("name", PAGES)
def test_generated_pages_are_up_to_date(name: str) -> None:
    assert (DOCS / name).read_text(encoding="utf-8") == PAGES[name](), "run: python -m tests.docs.reference"


@pytest.mark.parametrize("page", PAGES_WRITTEN, ids=lambda page: page.name)
def test_links_and_pictures_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
        if not target.startswith("http"):
            assert (page.parent / target).exists(), f"{page.name} points to {target}"
