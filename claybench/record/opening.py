"""Opening and making labs: every way it can fail ends in one clear sentence, with nothing touched."""

from __future__ import annotations

import os
import sqlite3
import uuid
from contextlib import closing
from pathlib import Path

import sqlalchemy as sa

from claybench import clock
from claybench.errors import BadInput, CannotOpen
from claybench.record import backup
from claybench.record.lab import Lab, explain_driver, make_engine
from claybench.record.migrate import HEAD, migrate, schema_version
from claybench.terms import FORMAT, Setting

APPLICATION_ID = 0x434C4159
""""CLAY", in the header of every lab file, so that another program's database is known for one."""
CHECKED_BELOW = 20_000_000
"""Files up to this many bytes are checked for damage at every opening (about 0.03 s)."""


def is_url(where: str) -> bool:
    """Whether a lab is named by a database URL and not by a path."""
    return "://" in where


def open_lab(where: str | Path, *, migrate_old: bool = True) -> Lab:
    """Open an existing lab; `CannotOpen` says why not and what to do."""
    if is_url(str(where)):
        return _open_server(str(where))
    path = Path(where).expanduser()
    version = _look_before(path)
    engine = make_engine(sa.URL.create("sqlite", database=str(path)))
    lab = Lab(engine=engine, where=str(path), path=path)
    _bring_up_to_date(lab, version, migrate_old)
    return lab


def create_lab(where: str | Path, *, name: str = "", zone: str = "") -> Lab:
    """Make an empty lab; refuses to touch anything that is there already."""
    zone = zone or local_zone()
    clock.zone(zone)
    if is_url(str(where)):
        return _create_on_server(str(where), name, zone)
    path = Path(where).expanduser()
    if path.exists():
        raise CannotOpen(f"{path} is there already.", "Open it with --lab, or name a new file.")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CannotOpen(f"The folder {path.parent} cannot be made: {error.strerror}.") from error
    if not os.access(path.parent, os.W_OK):
        raise CannotOpen(f"The folder {path.parent} cannot be written.", "Choose a folder of your own.")
    # made under another name and moved into place whole, so that a crash leaves no half-made lab
    partial = path.with_name(f".{path.name}.{uuid.uuid4().hex[:8]}.partial")
    try:
        engine = make_engine(sa.URL.create("sqlite", database=str(partial)))
        migrate(engine)
        with engine.connect() as connection:
            raw = connection.connection
            raw.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            raw.execute("PRAGMA journal_mode = WAL")
        lab = Lab(engine=engine, where=str(path), path=path)
        _first_settings(lab, name or path.stem, zone)
        engine.dispose()
        os.link(partial, path) if _can_link(partial) else partial.rename(path)
    except sqlite3.DatabaseError as error:
        raise explain_driver(error, str(path)) from error
    except FileExistsError as error:
        raise CannotOpen(f"{path} is there already.", "Open it with --lab, or name a new file.") from error
    finally:
        for left in (partial, Path(f"{partial}-wal"), Path(f"{partial}-shm")):
            left.unlink(missing_ok=True)
    return open_lab(path)


def open_or_create(where: str | Path) -> Lab:
    """The lab at this place, made if nothing is there."""
    if is_url(str(where)) or Path(where).expanduser().exists():
        return open_lab(where)
    return create_lab(where)


def default_path() -> Path:
    """The lab that is opened when none is named, in the platform's data folder."""
    import platformdirs

    return Path(platformdirs.user_data_dir("claybench", appauthor=False)) / "lab.claybench"


def local_zone() -> str:
    """This machine's IANA zone, UTC where it cannot be told."""
    named = os.environ.get("TZ", "").lstrip(":")
    link = Path("/etc/localtime")
    if not named and link.is_symlink():
        named = str(link.resolve()).partition("zoneinfo/")[2]
    try:
        clock.zone(named or "UTC")
    except BadInput:
        return "UTC"
    return named or "UTC"


def _can_link(path: Path) -> bool:
    """Whether the file system can link, which never overwrites, where renaming may."""
    probe = path.with_name(path.name + ".link")
    try:
        os.link(path, probe)
    except OSError:
        return False
    probe.unlink()
    return True


def _look_before(path: Path) -> str:
    """Look at a file without changing it; the schema version it is at."""
    if not path.exists():
        raise CannotOpen(f"There is no lab at {path}.", f"Make one with: claybench new {path}")
    if path.is_dir():
        raise CannotOpen(
            f"{path} is a folder, not a lab file.", "A lab folder is read with: claybench import FOLDER"
        )
    try:
        with path.open("rb") as file:
            header = file.read(100)
    except OSError as error:
        raise CannotOpen(f"{path} cannot be read: {error.strerror}.") from error
    if not header.startswith(b"SQLite format 3\x00") or len(header) < 100:
        what = "is empty" if not header else "is not a lab"
        raise CannotOpen(f"{path} {what}.", "Choose another file; this one was not touched.")
    if int.from_bytes(header[68:72], "big") != APPLICATION_ID:
        raise CannotOpen(f"{path} is a database of another program, not a lab.", "It was not touched.")
    if not os.access(path, os.W_OK) or not path.stat().st_mode & 0o222:
        raise CannotOpen(
            f"{path} is read-only.", "Give yourself write permission, or copy it and open the copy."
        )
    if not os.access(path.parent, os.W_OK):
        raise CannotOpen(f"The folder of {path} is read-only.", "Copy the lab to a folder of yours.")
    try:
        return _version_in_file(path)
    except sqlite3.DatabaseError as error:
        raise explain_driver(error, str(path)) from error


def _version_in_file(path: Path) -> str:
    with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=rw", uri=True, timeout=2.0)) as connection:
        if path.stat().st_size <= CHECKED_BELOW:
            fault = connection.execute("PRAGMA quick_check(1)").fetchone()[0]
            if fault != "ok":
                raise sqlite3.DatabaseError("malformed")
        row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        if row is None:
            raise sqlite3.DatabaseError("malformed")
        return str(row[0])


def _bring_up_to_date(lab: Lab, version: str, migrate_old: bool) -> None:
    if version == HEAD:
        return
    if version > HEAD:
        lab.close()
        raise CannotOpen(
            f"{lab.where} was written by a newer claybench (schema {version}, this one knows {HEAD}).",
            "Install the newer version; nothing was touched.",
        )
    if not migrate_old:
        raise CannotOpen(f"{lab.where} is of an older schema ({version}).", "Open it in the notebook once.")
    if lab.path is not None:
        backup.keep_before_change(lab.path, old=version, new=HEAD)
    migrate(lab.engine)


def _first_settings(lab: Lab, name: str, zone: str) -> None:
    with lab.acting("Made the lab") as act:
        act.add_many(
            [
                Setting(name="format", value=str(FORMAT)),
                Setting(name="name", value=name),
                Setting(name="zone", value=zone),
            ]
        )


def _open_server(url: str) -> Lab:
    engine = make_engine(url)
    lab = Lab(engine=engine, where=engine.url.render_as_string(hide_password=True), path=None)
    try:
        with engine.connect() as connection:
            version = schema_version(connection)
    except sa.exc.DBAPIError as error:
        raise explain_driver(error.orig, lab.where) from error
    if version is None:
        raise CannotOpen(f"There is no lab at {lab.where}.", "Make one with: claybench new URL")
    _bring_up_to_date(lab, version, True)
    return lab


def _create_on_server(url: str, name: str, zone: str) -> Lab:
    engine = make_engine(url)
    lab = Lab(engine=engine, where=engine.url.render_as_string(hide_password=True), path=None)
    try:
        with engine.connect() as connection:
            if schema_version(connection) is not None:
                raise CannotOpen(f"There is a lab at {lab.where} already.", "Open it with --lab.")
    except sa.exc.DBAPIError as error:
        raise explain_driver(error.orig, lab.where) from error
    migrate(engine)
    _first_settings(lab, name or str(engine.url.database), zone)
    return lab
