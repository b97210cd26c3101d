"""Reading someone's own table in: any CSV, each column said where it goes, all of it or nothing."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.exchange.reading import (
        aliases as aliases,
        cell_dates as cell_dates,
        cell_values as cell_values,
        headings as headings,
        layout as layout,
        mapping as mapping,
        parsed_table as parsed_table,
        raw_table as raw_table,
        row_kinds as row_kinds,
        row_parser as row_parser,
        saved_mappings as saved_mappings,
        table_import as table_import,
        table_parsing as table_parsing,
        value_sources as value_sources,
    )
else:
    __getattr__ = modules_of(__name__)
