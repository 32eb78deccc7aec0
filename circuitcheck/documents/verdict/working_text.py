"""How one finding is worked out, so that a reader can redo it with paper and a calculator."""

from __future__ import annotations

from fractions import Fraction

from circuitcheck.checks.finding import Finding, Probe, Working
from circuitcheck.documents.plain_text import Page
from circuitcheck.documents.quantity_text import METRIC, beside, in_system, quantity_text
from circuitcheck.documents.verdict.formula_with_units import numbers_in, redone
from circuitcheck.documents.verdict.verdict import Verdict
from circuitcheck.errors import CircuitcheckError
from circuitcheck.solve.worst_case import PositionSolution

DIGITS = 6
MOST_FRACTION_DIGITS = 9


def working_text(verdict: Verdict, number: int, *, width: int = 40, system: str = METRIC) -> str:
    """Return the working of finding `number`: formula, numbers, result, exact second opinion.

    The formula is worked in the units it holds in; with `system` american those stand beside.
    Raises KeyError when no finding has that number.
    """
    entry = {entry.number: entry for entry in verdict.entries}[number]
    finding = entry.worst
    page = Page(width, system=system)
    page.say(f"WORKING of finding {number}", rest="  ")
    page.say(f"{finding.check}: {finding.subject or 'the circuit'}", rest="  ")
    page.say(in_system(finding.quantity, system), rest="  ")
    if finding.working is None:
        page.say("This check counts or compares; there is no formula to show.")
        return page.text()
    for condition in finding.conditions:
        page.say(in_system(condition, system), first="when: ", rest="  ")
    for step in (*finding.working.steps, finding.working):
        page.gap()
        _by_hand(page, step)
    _limit(page, finding)
    _second_opinion(page, verdict, finding)
    return page.text()


def _by_hand(page: Page, working: Working) -> None:
    result = working.result
    page.say(f"{result.symbol} = {working.formula}", rest="    ")
    page.say("with", rest="  ")
    for term in working.terms:
        page.say(f"{term.symbol} = {_both(page, term.value, term.unit)}", first="  ", rest="      ")
        page.say(in_system(term.meaning, page.system), first="    ", rest="    ")
    page.say(f"{result.symbol} = {numbers_in(working, digits=DIGITS)}", rest="    ")
    shown = _both(page, result.value, result.unit)
    page.say(f"{result.symbol} = {shown} ({result.meaning})", rest="    ")
    page.say(redone(working, digits=DIGITS), rest="    ")


def _both(page: Page, value: float, unit: str) -> str:
    """Return a value in the unit of the formula, with the reader's own unit beside it."""
    shown = quantity_text(value, unit, digits=DIGITS)
    return shown + beside(value, unit, digits=DIGITS, system=page.system)


def _limit(page: Page, finding: Finding) -> None:
    if finding.value is None or finding.limit is None:
        return
    value = _both(page, finding.value, finding.unit)
    limit = _both(page, finding.limit, finding.unit)
    sign = "at most" if finding.at_most else "at least"
    page.say(f"{value}; must be {sign} {limit}: {finding.result}", rest="  ")


def _second_opinion(page: Page, verdict: Verdict, finding: Finding) -> None:
    probe = finding.working.probe if finding.working is not None else None
    if probe is None or verdict.solution is None or not finding.position:
        return
    from circuitcheck.solve.exact import nominal_netlist

    solved = verdict.solution.of(finding.position, finding.coil_state)
    page.gap()
    page.say(
        "SECOND OPINION at nominal values (not the worst case), solved exactly by lcapy. "
        "Diodes are left out."
    )
    meter = probe.name if probe.quantity == "current" else ""
    try:
        netlist = nominal_netlist(solved, meter=meter)
        exact = _exact(solved, probe)
    except CircuitcheckError as error:
        page.say(f"no exact value: {error}")
        return
    for component in netlist.components:
        unit = "V" if component.name.startswith("V") else "ohm"
        value = quantity_text(float(component.value), unit, digits=DIGITS)
        page.say(
            f"{component.name} {component.start} {component.end}  {value}  {component.stands_for}",
            first="  ",
            rest="      ",
        )
    unit = "A" if probe.quantity == "current" else "V"
    what = f"current of {probe.name}" if unit == "A" else f"voltage {probe.name} to {probe.to}"
    page.say(what, rest="  ")
    page.say(f"exact: {_fraction_text(exact)} {unit}", first="  ", rest="    ")
    ours = _ours(solved, probe)
    page.say(f"solver: {ours:.12g} {unit}", first="  ", rest="    ")
    page.say(_difference(ours, exact), first="  ", rest="    ")


def _exact(solved: PositionSolution, probe: Probe) -> Fraction:
    from circuitcheck.solve.exact import exact_current_a, exact_voltage_v

    if probe.quantity == "current":
        return exact_current_a(solved, probe.name)
    return exact_voltage_v(solved, probe.name, probe.to)


def _ours(solved: PositionSolution, probe: Probe) -> float:
    if probe.quantity == "current":
        return solved.current_a(probe.name).nominal
    return solved.between_v(probe.name, probe.to).nominal


def _fraction_text(value: Fraction) -> str:
    """Return the fraction where it is short, with its decimal; else the nearest short one."""
    short = value.limit_denominator(10**MOST_FRACTION_DIGITS)
    sign = "=" if short == value else "about"
    return f"{sign} {short} = {float(value):.12g}"


def _difference(ours: float, exact: Fraction) -> str:
    if exact == 0:
        return f"difference: {abs(ours):.1e}"
    return f"relative difference: {abs(float((Fraction(ours) - exact) / exact)):.1e}"
