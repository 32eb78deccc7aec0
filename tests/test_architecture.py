"""How the house is built: import direction, doors to heavy packages, sizes, names, top level."""

from __future__ import annotations

import ast
import importlib.util
import json
import re
import subprocess
import sys
import tomllib
from collections import Counter
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

import pytest

from circuitcheck.checks.check import Check
from circuitcheck.checks.register import CHECKS

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "circuitcheck"
BENCHMARKS = ROOT / "tests" / "benchmarks"
TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "circuitcheck", "library", "tests", "examples",
}  # fmt: skip
HEAVY = ("numpy", "matplotlib", "lcapy", "pint", "sympy", "scipy", "mpl_toolkits")
DOORS = {
    "matplotlib": {
        "drawing/render.py",
        "drawing/switching_render.py",
        "drawing/release_render.py",
    },
    "lcapy": {"solve/exact.py", "transient/exact_transient.py"},
    "sympy": {"solve/exact.py", "transient/exact_transient.py"},
    "pint": {"documents/verdict/formula_with_units.py"},
    "tomllib": {"read/toml_source.py", "read/library/library_cells.py"},
    "scipy": {"transient/integration.py"},
}
"""Outside packages and the only modules that may import them."""
LONGEST_MODULE, LONGEST_CHECK, LONGEST_BODY = 300, 150, 45
NOT_IN_NAMES = {"utils", "util", "helpers", "helper", "manager", "handler", "misc"}
NOT_AS_NAMES = {"engine", "core", "data", "info"}
OF_A_MACHINE = re.compile(
    "|".join(re.escape("/" + folder + "/") for folder in ("work", "root", "tmp", "home", "Users"))
    + r"|[A-Z]:\\\\?Users"
)
UNFINISHED = re.compile("|".join(rf"\b{word}\b" for word in ("TO" + "DO", "FIX" + "ME", "X" * 3)))
TEXT = {".py", ".md", ".toml", ".csv", ".txt", ".expected", ""}


@lru_cache(maxsize=1)
def tracked() -> tuple[Path, ...]:
    """Every file under version control; skips where there is none (a source archive)."""
    done = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if done.returncode != 0:
        pytest.skip("not a checkout")
    return tuple(ROOT / name for name in done.stdout.split("\0") if name and (ROOT / name).exists())


@lru_cache(maxsize=1)
def modules() -> dict[str, ast.Module]:
    return {
        path.relative_to(PACKAGE).as_posix(): ast.parse(path.read_text(encoding="utf-8"))
        for path in sorted(PACKAGE.rglob("*.py"))
    }


def imports(tree: ast.Module) -> Iterator[tuple[str, bool]]:
    """Top-level package names imported, and whether at the head of the module."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((alias.name.split(".")[0], node.col_offset == 0) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module.split(".")[0], node.col_offset == 0


@pytest.mark.slow
def test_import_contracts_hold(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from importlinter.cli import lint_imports

    monkeypatch.chdir(ROOT)
    code = lint_imports(config_filename=str(ROOT / "pyproject.toml"), no_cache=True)
    printed = capsys.readouterr().out
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    count = len(contracts["tool"]["importlinter"]["contracts"])
    assert code == 0, printed
    assert f"Contracts: {count} kept, 0 broken." in printed


def test_outside_packages_have_one_door() -> None:
    for package, doors in DOORS.items():
        found = {name for name, tree in modules().items() if package in dict(imports(tree))}
        assert found <= doors, package


def test_heavy_packages_are_imported_where_they_are_needed() -> None:
    for name, tree in modules().items():
        at_head = {package for package, is_head in imports(tree) if is_head}
        assert not at_head & (set(HEAVY) - {"numpy"}), name


def loaded_by(statement: str) -> set[str]:
    script = f"{statement}\nimport sys, json\nprint(json.dumps(sorted(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return {name.split(".")[0] for name in json.loads(done.stdout.splitlines()[-1])}


def test_the_command_starts_without_heavy_packages() -> None:
    found = loaded_by("import circuitcheck.cli.main")
    assert "click" in found
    assert not found & set(HEAVY)
    assert not loaded_by("import circuitcheck") & set(HEAVY)


def test_a_check_needs_numpy_alone() -> None:
    example = ROOT / "examples" / "orchard_sprayer" / "harness.toml"
    statement = (
        "import circuitcheck\n"
        f"verdict = circuitcheck.check_file({str(example)!r})\n"
        "circuitcheck.verdict_text(verdict), circuitcheck.verdict_json(verdict)"
    )
    found = loaded_by(statement)
    assert "numpy" in found
    assert not found & (set(HEAVY) - {"numpy"})


def check_modules() -> dict[str, str]:
    """Modules of the checks' room by their names in it, `coils.duty`."""
    return {
        ".".join(Path(name).with_suffix("").parts[1:]): name
        for name in modules()
        if name.startswith("checks/") and not name.endswith("__init__.py")
    }


def test_one_check_one_file() -> None:
    modules_of = {
        name: importlib.import_module(f"circuitcheck.checks.{name}") for name in check_modules()
    }
    own = {
        name: module.CHECK
        for name, module in modules_of.items()
        if isinstance(getattr(module, "CHECK", None), Check)
    }
    assert sorted(map(id, own.values())) == sorted(map(id, CHECKS))
    for name, check in own.items():
        assert check.judge.__module__ == f"circuitcheck.checks.{name}"
        lines = (PACKAGE / check_modules()[name]).read_text(encoding="utf-8").count("\n")
        assert lines < LONGEST_CHECK, name
    twice = [name for name, count in Counter(check.name for check in CHECKS).items() if count > 1]
    assert not twice


def test_no_check_imports_another() -> None:
    with_check = {check.judge.__module__ for check in CHECKS}
    for name, path in check_modules().items():
        if f"circuitcheck.checks.{name}" in with_check:
            for node in ast.walk(modules()[path]):
                if isinstance(node, ast.ImportFrom) and node.module:
                    named = {node.module, *(f"{node.module}.{one.name}" for one in node.names)}
                    assert not named & with_check, name


def test_sizes_of_modules_and_functions() -> None:
    for name, tree in modules().items():
        lines = (PACKAGE / name).read_text(encoding="utf-8").count("\n")
        assert lines < LONGEST_MODULE, name
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef):
                body = node.body[1:] if ast.get_docstring(node) else node.body
                length = (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0
                assert length <= LONGEST_BODY, f"{name}: {node.name}"


def test_names_say_what_a_thing_is() -> None:
    for name, tree in modules().items():
        stem = Path(name).stem
        named = [stem, *Path(name).parent.parts] + [
            node.name for node in ast.walk(tree) if isinstance(node, ast.ClassDef | ast.FunctionDef)
        ]
        for given in named:
            words = set(re.sub(r"(?<=[a-z0-9])(?=[A-Z])", "_", given).lower().split("_"))
            assert not words & NOT_IN_NAMES, f"{name}: {given}"
            assert given.lower() not in NOT_AS_NAMES, f"{name}: {given}"


def test_each_room_says_what_it_does() -> None:
    for path in PACKAGE.rglob("__init__.py"):
        assert ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))), path


def test_top_level_is_what_it_should_be() -> None:
    found = {path.relative_to(ROOT).parts[0] for path in tracked()}
    assert {name for name in found if not name.startswith(".")} == TOP_LEVEL


def test_no_paths_of_a_machine_and_nothing_unfinished() -> None:
    for path in tracked():
        if path.suffix in TEXT:
            text = path.read_text(encoding="utf-8", errors="replace")
            assert not OF_A_MACHINE.search(text), path
            assert not UNFINISHED.search(text), path


@pytest.mark.parametrize("path", sorted(BENCHMARKS.glob("*.py")), ids=lambda path: path.stem)
def test_a_benchmark_finds_what_it_measures(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Benchmarks are run by hand; that they can be is seen here."""
    monkeypatch.setattr(sys, "path", [str(BENCHMARKS), *sys.path])
    spec = importlib.util.spec_from_file_location(f"benchmark_{path.stem}", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    monkeypatch.setitem(sys.modules, spec.name, module)
    spec.loader.exec_module(module)
    assert module.__doc__


def test_no_stray_rooms() -> None:
    rooms = {path.name for path in PACKAGE.iterdir() if path.is_dir() and path.name[0] != "_"}
    written = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for room in rooms:
        assert f"`circuitcheck/{room}/`" in written, room
