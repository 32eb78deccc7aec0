"""Every public formula: units, a listed source, an example that runs."""

import doctest
import importlib
import inspect
import pkgutil
import re

import pytest

import circuitcheck.formulas
from circuitcheck.read.library.library_tables import read_library

MODULES = [
    importlib.import_module(f"circuitcheck.formulas.{found.name}")
    for found in pkgutil.iter_modules(circuitcheck.formulas.__path__)
    if found.name != "batch"
]
FORMULAS = [
    function
    for module in MODULES
    for name, function in vars(module).items()
    if inspect.isfunction(function)
    and function.__module__ == module.__name__
    and not name.startswith("_")
]
REFERRED = re.compile(r"(?:Arguments and errors as|errors as) `(\w+)`")


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_examples_run(module):
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0


@pytest.mark.parametrize("function", FORMULAS, ids=lambda function: function.__name__)
def test_a_source_of_the_list_is_named(function):
    text = " ".join(inspect.getdoc(function).split())
    keys = sorted(read_library().sources, key=len, reverse=True)
    referred = REFERRED.search(text)
    assert "Source" in text or referred or "eproduces" in text
    assert any(key in text for key in keys) or referred


@pytest.mark.parametrize("function", FORMULAS, ids=lambda function: function.__name__)
def test_arguments_are_described_with_their_units(function):
    text = inspect.getdoc(function)
    if REFERRED.search(text):
        return
    described = text[text.index("Parameters") : text.index("Returns")]
    for name in inspect.signature(function).parameters:
        assert re.search(rf"\b{name}\b", described), name
