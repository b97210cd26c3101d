"""What is built from a checkout holds all that claybench needs, and runs from the wheel alone."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

import claybench

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parent.parent
TABLES = {path.name for path in (ROOT / "sample_lab").glob("*.csv")}

USE = """
import sys
from pathlib import Path
import claybench
from claybench.cli.labs import sample_folder
from claybench.exchange.folder_in import import_folder
from claybench.record.opening import create_lab

lab = create_lab(Path(sys.argv[1]), name="From the wheel", zone="UTC")
import_folder(lab, sample_folder())
assert lab.setting("name")
print(claybench.__file__)
print(sample_folder())
"""


def run(*command: str | Path, folder: Path, **variables: str) -> str:
    """Run a program in a folder, away from the checkout."""
    environment = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "CLAYBENCH"))}
    done = subprocess.run(
        [str(part) for part in command],
        cwd=folder,
        env=environment | variables,
        text=True,
        capture_output=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the sdist and the wheel made from it; built in a copy, so that the checkout stays clean."""
    source, target = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("built")
    litter = shutil.ignore_patterns("__pycache__", "*.egg-info", ".*", "build", "dist")
    shutil.copytree(ROOT, source, ignore=litter, dirs_exist_ok=True)
    run(sys.executable, "-m", "build", "--no-isolation", "--outdir", target, source, folder=source)
    return target


def modules() -> set[str]:
    """Every module and migration of the checkout, as it stands in the wheel."""
    return {path.relative_to(ROOT).as_posix() for path in (ROOT / "claybench").rglob("*.py")}


def test_the_list_of_packages_is_complete() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    listed = settings["tool"]["setuptools"]["packages"]
    folders = {Path(module).parent.as_posix().replace("/", ".") for module in modules()}
    assert listed == sorted(folders | {"claybench.sample_lab"})


def test_the_wheel_holds_code_migrations_and_the_sample_lab(built: Path) -> None:
    (wheel,) = built.glob("*.whl")
    assert wheel.name.startswith(f"claybench-{claybench.__version__}-py3")
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
        assert archive.read("claybench/sample_lab/runs.csv") == (ROOT / "sample_lab" / "runs.csv").read_bytes()
    assert modules() <= names
    assert "claybench/record/migrations/versions/0001_first_schema.py" in names
    assert {f"claybench/sample_lab/{name}" for name in TABLES} <= names
    assert {"claybench/py.typed", "claybench/tui/look.tcss", "claybench/sample_lab/README.md"} <= names
    outside = {name.split("/")[0] for name in names} - {"claybench", f"claybench-{claybench.__version__}.dist-info"}
    assert not outside, "nothing else is installed beside it"
    assert not [name for name in names if name.endswith(".pyc")]


def test_the_sdist_holds_what_the_wheel_is_made_of(built: Path) -> None:
    (sdist,) = built.glob("*.tar.gz")
    root = f"claybench-{claybench.__version__}"
    with tarfile.open(sdist) as archive:
        names = set(archive.getnames())
    wanted = {*modules(), *(f"sample_lab/{name}" for name in TABLES), "claybench/py.typed"}
    wanted |= {"pyproject.toml", "README.md", "sample_lab/make.py", "sample_lab/README.md", "claybench/tui/look.tcss"}
    assert {f"{root}/{name}" for name in wanted} <= names


def test_the_wheel_runs_away_from_the_checkout(built: Path, tmp_path: Path) -> None:
    (wheel,) = built.glob("*.whl")
    place = tmp_path / "place"
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(place)
    code, sample = run(
        sys.executable, "-c", USE, tmp_path / "lab.claybench", folder=tmp_path, PYTHONPATH=str(place)
    ).split()
    assert Path(code) == place / "claybench" / "__init__.py"
    assert Path(sample) == place / "claybench" / "sample_lab"
    version = run(sys.executable, "-m", "claybench", "--version", folder=tmp_path, PYTHONPATH=str(place))
    assert claybench.__version__ in version


def test_the_version_is_written_once() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert "version" not in settings["project"]
    assert settings["tool"]["setuptools"]["dynamic"]["version"] == {"attr": "claybench.__version__"}
