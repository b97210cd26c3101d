"""Opening and making labs: every way it can fail ends in one clear sentence, with nothing touched."""

from __future__ import annotations

import os
import sqlite3
import uuid
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import sqlalchemy as sa

from claybench import clock
from claybench.errors import BadInput, CannotOpen
from claybench.record import backup
from claybench.record.lab import Lab, explain_driver, make_engine
from claybench.record.migrate import HEAD, migrate_schema, schema_version
from claybench.terms import FORMAT, Setting

APPLICATION_ID = 0x434C4159
""""CLAY", in the header of every lab file, so that another program's database is known for one."""
LOOK_SECONDS = 2.0
"""How long opening waits for a file that another program holds locked."""
CHECKED_BELOW = 20_000_000
"""Files up to this many bytes are checked for damage at every opening (about 0.03 s)."""


def is_url(where: str) -> bool:
    """Whether a lab is named by a database URL and not by a path."""
    return "://" in where


def _path_of(where: str | Path) -> Path | None:
    """The file that is named, by a path or by a `sqlite:///` address; None where a server is."""
    text = str(where)
    if text.startswith("sqlite:"):
        text = text.partition(":///")[2]
    elif is_url(text):
        return None
    try:
        return Path(text).expanduser()
    except RuntimeError as error:
        raise CannotOpen(f"There is no home folder for {text}.", "Write the path out in full.") from error


def open_lab(where: str | Path, *, migrate_old: bool = True) -> Lab:
    """Open an existing lab; `CannotOpen` says why not and what to do."""
    path = _path_of(where)
    if path is None:
        return _open_server(str(where), migrate_old)
    version = _look_before(path)
    lab = Lab(engine=make_engine(sa.URL.create("sqlite", database=str(path))), where=str(path), path=path)
    _bring_up_to_date(lab, version, migrate_old)
    _write_ahead(lab)
    return lab


def _write_ahead(lab: Lab) -> None:
    """A copy put back from the backups keeps no log; with one, reading never waits for writing."""
    with _explained(lab), lab.engine.connect() as connection:
        connection.connection.execute("PRAGMA journal_mode = WAL")


@contextmanager
def _explained(lab: Lab) -> Iterator[None]:
    """Turn what the driver says into one sentence, and let go of the file or the server."""
    try:
        yield
    except (sa.exc.DBAPIError, sqlite3.DatabaseError) as error:
        lab.close()
        raise explain_driver(getattr(error, "orig", error), lab.where) from error
    except BaseException:
        lab.close()
        raise


def create_lab(where: str | Path, *, name: str = "", zone: str = "") -> Lab:
    """Make an empty lab; refuses to touch anything that is there already."""
    zone = zone or local_zone()
    clock.parse_zone(zone)
    path = _path_of(where)
    if path is None:
        return _create_on_server(str(where), name, zone)
    if _is_there(path):
        raise CannotOpen(f"{path} is there already.", "Open it with --lab, or name a new file.")
    backup.refuse_leftovers(path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CannotOpen(f"The folder {path.parent} cannot be made: {error.strerror}.") from error
    if not _writable(path.parent):
        raise CannotOpen(f"The folder {path.parent} cannot be written.", "Choose a folder of your own.")
    # made under another name and moved into place whole, so that a crash leaves no half-made lab
    partial = path.with_name(f".{path.name}.{uuid.uuid4().hex[:8]}.partial")
    lab = Lab(engine=make_engine(sa.URL.create("sqlite", database=str(partial))), where=str(path), path=path)
    try:
        with _explained(lab):
            _fill(lab, name or path.stem, zone)
        os.link(partial, path) if _can_link(partial) else partial.rename(path)
    except FileExistsError as error:
        raise CannotOpen(f"{path} is there already.", "Open it with --lab, or name a new file.") from error
    finally:
        for left in (partial, Path(f"{partial}-wal"), Path(f"{partial}-shm")):
            left.unlink(missing_ok=True)
    return open_lab(path)


def _fill(lab: Lab, name: str, zone: str) -> None:
    """Tables, mark and first settings of a new lab file, all in the file when this is done."""
    migrate_schema(lab.engine)
    with lab.engine.connect() as connection:
        raw = connection.connection
        raw.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        raw.execute("PRAGMA journal_mode = WAL")
    _first_settings(lab, name, zone)
    lab.close()


def open_or_create(where: str | Path) -> Lab:
    """The lab at this place, made if nothing is there."""
    path = _path_of(where)
    if path is None or _is_there(path):
        return open_lab(where)
    return create_lab(where)


def open_named(where: str | Path | None) -> Lab:
    """The lab at this place; the default one, made if it is not there, where none is named."""
    return open_lab(where) if where else open_or_create(default_path())


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
        clock.parse_zone(named or "UTC")
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


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except OSError as error:
        raise CannotOpen(f"{path} cannot be looked at: {error.strerror}.", "Name another place.") from error


def _writable(path: Path) -> bool:
    # the mode is looked at too, since the administrator may write anywhere
    return os.access(path, os.W_OK) and bool(path.stat().st_mode & 0o222)


def _look_before(path: Path) -> str:
    """Look at a file without changing it; the schema version it is at."""
    if not _is_there(path):
        raise CannotOpen(f"There is no lab at {path}.", f"Make one with: claybench new {path}")
    if path.is_dir():
        raise CannotOpen(f"{path} is a folder, not a lab file.", "A lab folder is read with: claybench import FOLDER")
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
    if not _writable(path):
        raise CannotOpen(f"{path} is read-only.", "Give yourself write permission, or copy it and open the copy.")
    if not _writable(path.parent):
        raise CannotOpen(f"The folder of {path} is read-only.", "Copy the lab to a folder of yours.")
    try:
        return _version_in_file(path)
    except sqlite3.DatabaseError as error:
        raise explain_driver(error, str(path)) from error


def _version_in_file(path: Path) -> str:
    address = f"{path.resolve().as_uri()}?mode=rw"
    with closing(sqlite3.connect(address, uri=True, timeout=LOOK_SECONDS)) as connection:
        if path.stat().st_size <= CHECKED_BELOW and backup.damage_in(connection):
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
        lab.close()
        raise CannotOpen(f"{lab.where} is of an older schema ({version}).", "Open it in the notebook once.")
    with _explained(lab):
        if lab.path is not None:
            backup.keep_before_change(lab.path, old=version, new=HEAD)
        try:
            migrate_schema(lab.engine)
        except sa.exc.SQLAlchemyError as error:
            first = str(getattr(error, "orig", error)).strip().splitlines()[0]
            raise CannotOpen(
                f"{lab.where} could not be brought from schema {version} to {HEAD} ({first}).",
                "It is as it was before; go on with the older claybench, and report this.",
            ) from error


def _first_settings(lab: Lab, name: str, zone: str) -> None:
    with lab.acting("Made the lab") as act:
        act.add_many(
            [
                Setting(name="format", value=str(FORMAT)),
                Setting(name="name", value=name),
                Setting(name="zone", value=zone),
            ]
        )


def _open_server(url: str, migrate_old: bool) -> Lab:
    lab = _on_server(url)
    with _explained(lab), lab.engine.connect() as connection:
        version = schema_version(connection)
    if version is None:
        lab.close()
        raise CannotOpen(f"There is no lab at {lab.where}.", "Make one with: claybench new URL")
    _bring_up_to_date(lab, version, migrate_old)
    return lab


def _create_on_server(url: str, name: str, zone: str) -> Lab:
    lab = _on_server(url)
    with _explained(lab):
        with lab.engine.connect() as connection:
            if schema_version(connection) is not None:
                raise CannotOpen(f"There is a lab at {lab.where} already.", "Open it with --lab.")
        migrate_schema(lab.engine)
        _first_settings(lab, name or str(lab.engine.url.database), zone)
    return lab


def _on_server(url: str) -> Lab:
    engine = make_engine(url)
    return Lab(engine=engine, where=engine.url.render_as_string(hide_password=True), path=None)
