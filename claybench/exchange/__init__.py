"""In and out: the lab folder of CSV files, and tables for spreadsheets."""

from claybench.exchange.cells import format_value, parse_value
from claybench.exchange.folder_in import ImportReport, import_folder
from claybench.exchange.folder_out import export_folder, write_rows
from claybench.exchange.folder_read import Folder, read_folder
from claybench.exchange.spreadsheet import DECIMALS, free_name, plain_cell, safe_cell, save_table, write_table

__all__ = [
    "DECIMALS",
    "Folder",
    "ImportReport",
    "export_folder",
    "format_value",
    "free_name",
    "import_folder",
    "parse_value",
    "plain_cell",
    "read_folder",
    "safe_cell",
    "save_table",
    "write_rows",
    "write_table",
]
