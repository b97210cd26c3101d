"""Reading someone's own table in: any CSV, each column said where it goes, all of it or nothing."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.exchange.reading import (
        layout as layout,
        mapping as mapping,
        questions as questions,
        raw_table as raw_table,
        row_kinds as row_kinds,
        row_parser as row_parser,
        sound_rows as sound_rows,
        table_import as table_import,
    )
else:
    __getattr__ = modules_of(__name__)
