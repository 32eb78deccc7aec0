"""Values printed outside this project, held against the library and the formulas.

Each file here is one outside source and has a function `comparisons(library)`. It returns tuples:

    (held, what, printed, ours)
        a formula: within half a unit of the last printed digit; a library cell: the same number
    (held, what, printed, ours, None, why)
        a library cell worked out from the printed one: within half a unit of the last digit
    (held, what, printed, ours, percent, why)
        within a stated percentage, with its reason

`held` is a library table (`conductors`) or a formula module (`formula coil`); `printed` is text,
digit for digit as the source prints it. `SOURCE` is the key in library/sources.toml; `what` may
be a pair of another key and the text.
"""

import importlib.util
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

import pytest

from circuitcheck.read.library.library_tables import read_library

HERE = Path(__file__).parent
ROUNDING = 1e-9  # binary floating point at an exact half


class Comparison(NamedTuple):
    held: str
    source: str
    what: str
    printed: str
    ours: float
    allowed: float
    why: str

    @property
    def deviation(self):
        return self.ours - float(self.printed)

    @property
    def is_within(self):
        return abs(self.deviation) <= self.allowed * (1.0 + ROUNDING)


def half_last_digit(printed):
    return 0.5 * 10.0 ** Decimal(printed).as_tuple().exponent


def compared(module):
    rows = []
    for held, named, printed, ours, *given in module.comparisons(read_library()):
        source, what = named if isinstance(named, tuple) else (module.SOURCE, named)
        percent, why = given or (None, "last printed digit")
        if percent is not None:
            allowed = percent / 100.0 * abs(float(printed))
        elif given or held.startswith("formula"):
            allowed = half_last_digit(printed)
        else:
            allowed, why = 1e-12 * abs(float(printed)), "copied"
        rows.append(Comparison(held, source, what, printed, float(ours), allowed, why))
    return rows


def pytest_generate_tests(metafunc):
    if "comparison" in metafunc.fixturenames:
        rows = compared(metafunc.module)
        names = [f"{row.held}: {row.what}" for row in rows]
        metafunc.parametrize("comparison", rows, ids=names)


@pytest.fixture(scope="session")
def library():
    return read_library()


@pytest.fixture(scope="session")
def all_comparisons():
    rows = []
    for path in sorted(HERE.glob("test_*.py")):
        spec = importlib.util.spec_from_file_location(f"published_{path.stem}", path)
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        if hasattr(module, "comparisons"):
            rows += compared(module)
    return rows
