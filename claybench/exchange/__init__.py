"""In and out: the lab folder of CSV files, and tables for spreadsheets."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.exchange import (
        cells as cells,
        folder_in as folder_in,
        folder_out as folder_out,
        plan_files as plan_files,
        reading as reading,
        spreadsheet as spreadsheet,
    )
else:
    __getattr__ = modules_of(__name__)
