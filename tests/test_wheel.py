"""The wheel carries its library: built, installed in an environment of its own, run elsewhere.

The environment sees the dependencies of the one that runs the tests through a .pth file, so that
nothing but the build backend may need a network. circuitcheck itself comes from the wheel alone.
"""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples" / "orchard_sprayer" / "harness.toml"

pytestmark = pytest.mark.slow


def run(command: list[str], cwd: Path, *, code: int = 0) -> str:
    environment = {k: v for k, v in os.environ.items() if not k.startswith("PYTHON")}
    done = subprocess.run(
        command, cwd=cwd, env=environment, capture_output=True, text=True, check=False, timeout=300
    )
    assert done.returncode == code, f"{command}\n{done.stdout}\n{done.stderr}"
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "build", "--wheel", "--outdir", str(folder)]
    try:
        import hatchling  # noqa: F401

        command.append("--no-isolation")
    except ImportError:
        pass  # the build fetches its backend
    run([*command, str(ROOT)], folder)
    (found,) = folder.glob("*.whl")
    return found


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Folder of the programs of an environment with the wheel in it."""
    folder = tmp_path_factory.mktemp("environment")
    venv.create(folder, with_pip=False, symlinks=True)
    programs = folder / ("Scripts" if os.name == "nt" else "bin")
    python = str(programs / Path(sys.executable).name)
    if not Path(python).exists():
        python = str(programs / "python")
    site = Path(
        run([python, "-c", "import sysconfig as s; print(s.get_path('purelib'))"], folder).strip()
    )
    command = [
        sys.executable,
        "-m",
        "pip",
        "--python",
        python,
        "install",
        "--no-deps",
        "--no-index",
    ]
    run([*command, "--disable-pip-version-check", "--quiet", str(wheel)], folder)
    # Behind the wheel's own folder on the path: an installed checkout cannot take its place.
    (site / "dependencies.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return programs


def test_every_table_is_inside(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    tables = {
        path.name for path in (ROOT / "library").iterdir() if path.suffix in (".csv", ".toml")
    }
    assert len(tables) > 10
    assert {f"circuitcheck/library/{name}" for name in tables} <= names
    assert not [name for name in names if name.startswith(("tests/", "examples/", "library/"))]


def test_the_main_job_runs_from_the_wheel(installed: Path, tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text(EXAMPLE.read_text(encoding="utf-8"), encoding="utf-8")
    command = str(installed / "circuitcheck")
    checked = run([command, "check", "mine.toml"], tmp_path)
    assert checked.startswith("no failure in the checks run")
    assert "16 AWG" in run([command, "library", "16", "AWG"], tmp_path)
    run([command, "new", "fresh.toml"], tmp_path)
    assert (tmp_path / "fresh.toml").stat().st_size > 1000


def test_its_library_comes_from_inside_the_package(installed: Path, tmp_path: Path) -> None:
    script = (
        "import circuitcheck, pathlib\n"
        "from circuitcheck.read.library import library_tables\n"
        "library = circuitcheck.read_library()\n"
        "assert library.conductors\n"
        "print(pathlib.Path(circuitcheck.__file__).resolve())\n"
        "print(library_tables.library_path().resolve())\n"
    )
    package, folder = run([str(installed / "python"), "-c", script], tmp_path).split()
    inside = installed.parent.resolve()
    assert Path(package).is_relative_to(inside)
    assert Path(folder).is_relative_to(inside)
    assert Path(folder) == Path(package).parent / "library"
