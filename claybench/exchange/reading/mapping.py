"""Where each column of someone's file goes, and how the file is written; kept as TOML, by name, for the next one."""

from __future__ import annotations

import difflib
import json
import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from claybench.errors import BadInput, NotFound, Refused
from claybench.exchange.cells import format_value
from claybench.exchange.files import state_folder, write_whole
from claybench.exchange.reading.cell_dates import ORDERS
from claybench.exchange.reading.raw_table import DELIMITERS
from claybench.exchange.reading.row_kinds import RowKind, kind_of
from claybench.exchange.spreadsheet import DECIMALS
from claybench.quantity.shown import natural_key

_BARE = re.compile(r"[A-Za-z0-9_-]+")


@dataclass(frozen=True, slots=True)
class ColumnMapping:
    """Where one column goes."""

    to: str
    """Name of a target of the kind."""
    unit: str = ""
    """Unit of its numbers; what the heading or the row under it says where empty, else the record's own."""
    name: str = ""
    """The material that a column of parts or masses stands for; its heading where empty."""
    fill_down: bool = False
    """Whether an empty cell means what stands above it."""
    words: Mapping[str, str] = field(default_factory=dict)
    """What the file's words mean, such as `Stab` for `bar`."""


@dataclass(frozen=True, slots=True)
class TableMapping:
    """How one file is to be read."""

    rows: str
    """What a row is: a name among `KINDS`."""
    columns: Mapping[str, ColumnMapping] = field(default_factory=dict)
    """By heading."""
    constants: Mapping[str, str] = field(default_factory=dict)
    """What holds for every row, by target."""
    headings_in: int = 0
    """Number of the row with the headings; found where 0."""
    last_row: int = 0
    """The last row to read; all of them where 0."""
    delimiter: str = ""
    encoding: str = ""
    decimal: str = ""
    dates: str = ""
    zone: str = ""
    """Zone of times without an offset; the lab's where empty."""
    time_of_day: str = ""
    """For a bare date where a time is needed."""
    missing: tuple[str, ...] = ()
    """What stands for nothing in cells of numbers, dates and references, besides the usual."""
    name_new: bool = False
    """Whether bodies and firings that are named and not there are made with their code alone."""
    units: tuple[str, ...] = ()
    """Units of numbers that nothing else gives one, one for each kind of quantity."""
    left_out: tuple[str, ...] = ()
    """Headings that go nowhere on purpose, and are not asked about."""
    skip: tuple[int, ...] = ()
    """Numbers of rows that are passed over."""
    names: Mapping[str, str] = field(default_factory=dict)
    """What names of materials and families stand for; one that stands for itself is another than those near to it."""
    anyway: bool = False
    """Whether what is doubted is taken as it stands."""
    guessed: bool = False
    """Whether the columns are suggested and nobody looked at them yet: then what they may be is asked."""

    @property
    def kind(self) -> RowKind:
        """What a row is."""
        return kind_of(self.rows)

    @property
    def unfilled_required(self) -> list[str]:
        """Columns without which no row can be new, and which neither the file nor the mapping fills yet."""
        filled = {to.to for to in self.columns.values()} | set(self.constants) | set(self.kind.always)
        required = [column.name for column in self.kind.table.columns if column.required]
        return [name for name in required if name not in filled and name != "position"]

    def with_column(self, heading: str, to: ColumnMapping | None) -> TableMapping:
        """Another place for one column, or none."""
        if to is not None:
            return replace(self, columns={**self.columns, heading: to})
        return replace(self, columns={name: held for name, held in self.columns.items() if name != heading})

    def without(self, heading: str) -> TableMapping:
        """One column left out on purpose."""
        return replace(self.with_column(heading, None), left_out=tuple(dict.fromkeys((*self.left_out, heading))))

    def with_constant(self, target: str, text: str) -> TableMapping:
        """Another text for every row, or none where it is empty."""
        constants = {name: held for name, held in self.constants.items() if name != target}
        return replace(self, constants=constants | {target: text} if text else constants)


_CHOICES = {"delimiter": tuple(DELIMITERS), "decimal": DECIMALS, "dates": ORDERS}
_TEXTS = ("rows", "delimiter", "encoding", "decimal", "dates", "zone", "time_of_day")
_NUMBERS = ("headings_in", "last_row")
_LISTS = ("missing", "units", "left_out")
_FLAGS = ("name_new", "anyway", "guessed")
_KEYS = (*_TEXTS, *_NUMBERS, *_LISTS, *_FLAGS, "skip", "names", "columns", "constants")
_COLUMN_KEYS = ("to", "unit", "name", "fill_down", "words")


def parse_mapping(text: str, rows: str = "") -> TableMapping:
    """A mapping from TOML; `rows` says what a row is where the file does not, and has to agree where it does.

    Raises
    ------
    BadInput
        Anything that cannot be taken, with its key and what would work.
    """
    try:
        held = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput(f"The mapping is not TOML: {error}.", "Look at that line.") from error
    _known(held, _KEYS, "the mapping")
    said = _text(held, "rows")
    if rows and said and said != rows:
        raise BadInput(f"The mapping is for {said}, not for {rows}.", "Leave one of the two out.", field="rows")
    kind = kind_of(rows or said)
    for name, words in _CHOICES.items():
        if (value := _text(held, name)) and value not in words:
            raise BadInput(f"{name} cannot be '{value}'.", f"Write one of {', '.join(words)}.", field=name)
    columns = {heading: _column(heading, value, kind) for heading, value in _table(held, "columns").items()}
    constants = {name: _constant(name, value, kind) for name, value in _table(held, "constants").items()}
    about: dict[str, Any] = {name: _text(held, name) for name in _TEXTS}
    about |= {name: _row(held, name) for name in _NUMBERS}
    about |= {"rows": kind.name, "columns": columns, "constants": constants}
    about |= {name: _list(held, name) for name in _LISTS} | {name: _flag(held, name) for name in _FLAGS}
    names = _table(held, "names")
    return TableMapping(**about, skip=_rows(held, "skip"), names={typed: _text(names, typed) for typed in names})


def _known(held: Mapping[str, Any], keys: tuple[str, ...], where: str) -> None:
    for name in held:
        if name not in keys:
            near = difflib.get_close_matches(name, keys, n=1)
            raise BadInput(
                f"'{name}' is not a key of {where}.",
                f"Perhaps {near[0]} is meant." if near else f"The keys are {', '.join(keys)}.",
                field=name,
            )


def _text(held: Mapping[str, Any], name: str) -> str:
    value = held.get(name, "")
    if isinstance(value, time):
        return value.isoformat("minutes")
    if not isinstance(value, str):
        raise BadInput(f"{name} has to be a text.", f'Write it in quotes: {name} = "…".', field=name)
    return value


def _row(held: Mapping[str, Any], name: str) -> int:
    value = held.get(name, 0)
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise BadInput(f"{name} has to be the number of a row.", f"Write it as {name} = 3.", field=name)
    return value


def _rows(held: Mapping[str, Any], name: str) -> tuple[int, ...]:
    value = held.get(name, [])
    if not isinstance(value, list) or not all(isinstance(each, int) and each > 0 for each in value):
        raise BadInput(f"{name} has to be a list of row numbers.", f"Write it as {name} = [7, 12].", field=name)
    return tuple(value)


def _flag(held: Mapping[str, Any], name: str) -> bool:
    value = held.get(name, False)
    if not isinstance(value, bool):
        raise BadInput(f"{name} has to be true or false.", f"Write {name} = true.", field=name)
    return value


def _list(held: Mapping[str, Any], name: str) -> tuple[str, ...]:
    value = held.get(name, [])
    if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
        raise BadInput(f"{name} has to be a list of texts.", f'Write it as {name} = ["?", "none"].', field=name)
    return tuple(value)


def _table(held: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    value = held.get(name, {})
    if not isinstance(value, dict):
        raise BadInput(f"{name} has to be a table.", f"Write [{name}] and a line for each.", field=name)
    return value


def _column(heading: str, value: Any, kind: RowKind) -> ColumnMapping:
    about = {"to": value} if isinstance(value, str) else value
    if not isinstance(about, dict):
        raise BadInput(f"Column '{heading}' has to go to a name.", f'Write "{heading}" = "note".', field=heading)
    _known(about, _COLUMN_KEYS, f"column '{heading}'")
    words = _table(about, "words")
    return ColumnMapping(
        check_target(_text(about, "to"), kind),
        _text(about, "unit"),
        _text(about, "name"),
        _flag(about, "fill_down"),
        {str(typed): _text(words, typed) for typed in words},
    )


def _constant(name: str, value: Any, kind: RowKind) -> str:
    check_target(name, kind)
    if kind.wide is not None and name == kind.wide[2]:
        raise BadInput(f"{name} cannot be the same in every row.", "Give it a column.", field=name)
    if isinstance(value, str | bool | int | float | date | datetime):
        return format_value(float(value) if isinstance(value, int) and not isinstance(value, bool) else value)
    raise BadInput(f"{name} has to be a text, a number, a date or true or false.", "Write one value.", field=name)


def check_target(name: str, kind: RowKind) -> str:
    """The name of a target, or what would work."""
    targets = kind.targets()
    if name in targets:
        return name
    near = difflib.get_close_matches(name, targets, n=1)
    raise BadInput(
        f"A row of {kind.name} has no '{name}'.",
        f"Perhaps {near[0]} is meant." if near else f"It has {', '.join(targets)}.",
        field=name,
    )


def format_mapping(held: TableMapping, headings: Sequence[str] = ()) -> str:
    """The mapping as TOML; what is left to be found is left out, `headings` that go nowhere are remarked upon."""
    lines = [f"rows = {_quoted(held.rows)}"]
    lines += [f"{name} = {value}" for name in _NUMBERS if (value := getattr(held, name))]
    lines += [f"{name} = {_quoted(value)}" for name in _TEXTS[1:] if (value := getattr(held, name))]
    lines += [
        f"{name} = [{', '.join(_quoted(each) for each in values)}]"
        for name in _LISTS
        if (values := getattr(held, name))
    ]
    if held.skip:
        lines.append(f"skip = [{', '.join(map(str, held.skip))}]")
    lines += [f"{name} = true" for name in _FLAGS if getattr(held, name)]
    lines += ["", "[columns]"]
    lines += [f"{_key(heading)} = {_written(to)}" for heading, to in held.columns.items()]
    lines += [f'# {_key(heading)} = ""' for heading in headings if heading not in held.columns]
    if held.names:
        lines += ["", "[names]"]
        lines += [f"{_key(typed)} = {_quoted(name)}" for typed, name in held.names.items()]
    if held.constants:
        lines += ["", "[constants]"]
        lines += [f"{_key(name)} = {_quoted(value)}" for name, value in held.constants.items()]
    return "\n".join(lines) + "\n"


def _written(to: ColumnMapping) -> str:
    about = [f"to = {_quoted(to.to)}"]
    about += [f"{name} = {_quoted(value)}" for name in ("unit", "name") if (value := getattr(to, name))]
    if to.fill_down:
        about.append("fill_down = true")
    if to.words:
        pairs = ", ".join(f"{_key(typed)} = {_quoted(word)}" for typed, word in to.words.items())
        about.append(f"words = {{ {pairs} }}")
    return _quoted(to.to) if len(about) == 1 else f"{{ {', '.join(about)} }}"


def _key(text: str) -> str:
    return text if _BARE.fullmatch(text) else _quoted(text)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def mappings_folder() -> Path:
    """Where saved mappings lie."""
    return state_folder() / "mappings"


def saved_mapping_names() -> list[str]:
    """The names of all saved mappings, in the order in which people count."""
    return sorted((file.stem for file in mappings_folder().glob("*.toml")), key=natural_key)


def save_mapping(name: str, text: str) -> Path:
    """Save the TOML text of a mapping by a name; one of the same name is replaced.

    Raises
    ------
    BadInput
        A name that cannot be a file's.
    Refused
        A folder that cannot be written to.
    """
    if not name.strip() or name != name.strip() or any(mark in '/\\:*?"<>|' or ord(mark) < 32 for mark in name):
        raise BadInput(f"'{name}' cannot be the name of a mapping.", "Use letters, digits and blanks.", field="name")
    path = mappings_folder() / f"{name[:80]}.toml"
    try:
        write_whole(path, text)
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror}.", "Free some room and keep it again.") from error
    return path


def mapping_text(name: str) -> str:
    """The text of a mapping: of a TOML file, or of one saved by this name.

    Raises
    ------
    NotFound
        No such file or name, or a file that is not UTF-8.
    """
    path = Path(name).expanduser()
    if path.suffix.lower() != ".toml" and name in saved_mapping_names():
        path = mappings_folder() / f"{name}.toml"
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        names = ", ".join(saved_mapping_names())
        remedy = f"Name a TOML file in UTF-8, or one kept by name: {names}." if names else "Name a TOML file in UTF-8."
        raise NotFound(f"The mapping '{name}' cannot be read.", remedy) from error
