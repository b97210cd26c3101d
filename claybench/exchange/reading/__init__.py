"""Reading someone's own table in: any CSV, each column said where it goes, all of it or nothing."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.exchange.reading import (
        dates as dates,
        headings as headings,
        kinds as kinds,
        layout as layout,
        mapping as mapping,
        raw as raw,
        rows as rows,
        said as said,
        saved_mappings as saved_mappings,
        sources as sources,
        take as take,
        understand as understand,
        understood as understood,
        values as values,
    )
else:
    __getattr__ = modules_of(__name__)
