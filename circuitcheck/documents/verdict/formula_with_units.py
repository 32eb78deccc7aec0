"""A finding's formula worked once more, number by number and unit by unit.

The only door to pint. Quantities are made from a number and a unit of a fixed list and are only
added, multiplied, divided and raised; no text is ever handed to pint to be read. The formula is
taken apart here and may hold nothing but its own symbols, numbers and a few functions.
"""

from __future__ import annotations

import ast
import math
import operator
import re
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

from circuitcheck.checks.finding import Term, Working
from circuitcheck.documents.quantity_text import quantity_text

AGREES_WITHIN = 1e-6
MOST_CHARACTERS = 400

_SYMBOL = re.compile(r"[A-Za-z_][A-Za-z0-9_]*|[^A-Za-z_]+")
_OPERATORS: Mapping[type[ast.operator], Callable[[Any, Any], Any]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}


class FormulaError(ValueError):
    """A formula that cannot be worked here; the message says why."""


def numbers_in(working: Working, *, digits: int) -> str:
    """Return the formula with each symbol replaced by its number and unit."""
    shown = {t.symbol: f"({quantity_text(t.value, t.unit, digits=digits)})" for t in working.terms}
    return "".join(shown.get(piece, piece) for piece in _SYMBOL.findall(working.formula))


def redone(working: Working, *, digits: int) -> str:
    """Return what the formula gives when it is worked with units, beside the finding's number."""
    result = working.result
    try:
        value, how = _with_units(working), "redone with units"
    except FormulaError:
        try:
            value, how = _plain(working), "redone with plain numbers"
        except FormulaError as error:
            return f"not redone: {error}"
    shown = quantity_text(value, result.unit, digits=digits)
    difference = abs(value - result.value)
    if difference <= AGREES_WITHIN * max(abs(value), abs(result.value)):
        return f"{how}: {shown}, agrees"
    return f"{how}: {shown}, differs by {quantity_text(difference, result.unit)}"


def _plain(working: Working) -> float:
    values = {term.symbol: term.value for term in working.terms}
    try:
        return float(_value(_parsed(working.formula), values, _FUNCTIONS))
    except (ArithmeticError, TypeError, ValueError) as error:
        raise FormulaError(str(error)) from None


def _with_units(working: Working) -> float:
    """Return the value of the formula in the unit of its result, with every unit carried along."""
    from pint import PintError

    units = _units()
    values = {term.symbol: _quantity(term, units) for term in working.terms}
    try:
        value = _value(_parsed(working.formula), values, _FUNCTIONS_OF_QUANTITIES)
        result = working.result
        if result.unit not in units:
            raise FormulaError(f"no unit {result.unit}")
        return float((value / units[result.unit]).m_as("")) if hasattr(value, "m_as") else value
    except (PintError, ArithmeticError, TypeError) as error:
        raise FormulaError(str(error)) from None


def _quantity(term: Term, units: Mapping[str, Any]) -> Any:
    if term.unit not in units:
        raise FormulaError(f"no unit {term.unit}")
    return term.value * units[term.unit]


@cache
def _units() -> Mapping[str, Any]:
    """Return one quantity of 1 per unit of a finding, built without reading any text.

    A degree counts as a step of temperature: formulas here add and subtract, never convert. A
    percent is a plain number of percent, as formulas here write the factor 100.
    """
    from pint import UnitRegistry

    u: Any = UnitRegistry()
    one = u.Quantity(1.0, u.dimensionless)
    volt, ampere, ohm = (u.Quantity(1.0, unit) for unit in (u.volt, u.ampere, u.ohm))
    metre, second, watt = (u.Quantity(1.0, unit) for unit in (u.meter, u.second, u.watt))
    kelvin, millimetre = u.Quantity(1.0, u.kelvin), u.Quantity(1.0, u.millimeter)
    return {
        "1": one,
        "": one,
        "%": one,
        "wires": one,
        "V": volt,
        "A": ampere,
        "ohm": ohm,
        "m": metre,
        "mm": millimetre,
        "mm2": millimetre**2,
        "s": second,
        "h": u.Quantity(1.0, u.hour),
        "Ah": ampere * u.Quantity(1.0, u.hour),
        "W": watt,
        "J": u.Quantity(1.0, u.joule),
        "H": u.Quantity(1.0, u.henry),
        "N": u.Quantity(1.0, u.newton),
        "K": kelvin,
        "degC": kelvin,
        "K/W": kelvin / watt,
        "K/A2": kelvin / ampere**2,
        "1/K": one / kelvin,
        "A2s": ampere**2 * second,
        "ohm/m": ohm / metre,
        "W/m": watt / metre,
        "J/m/K": u.Quantity(1.0, u.joule) / metre / kelvin,
        "A*s**0.5/mm2": ampere * second**0.5 / millimetre**2,
    }


def _parsed(formula: str) -> ast.expr:
    if len(formula) > MOST_CHARACTERS:
        raise FormulaError("the formula is too long")
    try:
        return ast.parse(formula.replace("^", "**"), mode="eval").body
    except (SyntaxError, ValueError, RecursionError):
        raise FormulaError("the formula is in words") from None


def _value(
    node: ast.expr, values: Mapping[str, Any], functions: Mapping[str, Callable[..., Any]]
) -> Any:
    """Return the value of a taken-apart formula; anything but plain arithmetic is refused."""
    if isinstance(node, ast.Constant) and isinstance(node.value, (int, float)):
        return float(node.value)
    if isinstance(node, ast.Name) and node.id in values:
        return values[node.id]
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return -_value(node.operand, values, functions)
    if isinstance(node, ast.BinOp) and type(node.op) in _OPERATORS:
        left = _value(node.left, values, functions)
        right = _value(node.right, values, functions)
        return _OPERATORS[type(node.op)](left, right)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and not node.keywords:
        if node.func.id in functions:
            return functions[node.func.id](*(_value(a, values, functions) for a in node.args))
        raise FormulaError(f"no function {node.func.id}")
    raise FormulaError("the formula holds more than plain arithmetic")


def _of_number(function: Callable[[float], float]) -> Callable[[Any], float]:
    """Return a function that takes a quantity without dimension as the number it is."""
    return lambda value: function(float(value.m_as("")) if hasattr(value, "m_as") else value)


_FUNCTIONS: Mapping[str, Callable[..., Any]] = {
    "sqrt": math.sqrt,
    "exp": math.exp,
    "ln": math.log,
    "log10": math.log10,
    "min": min,
    "max": max,
    "abs": abs,
}
_FUNCTIONS_OF_QUANTITIES: Mapping[str, Callable[..., Any]] = {
    **_FUNCTIONS,
    "sqrt": lambda value: value**0.5,
    "exp": _of_number(math.exp),
    "ln": _of_number(math.log),
    "log10": _of_number(math.log10),
}
