"""Which of a contact's ratings counts for what it breaks, and what is said where none does.

A rating counts only for the voltage and the load it is given for; an inductive load is harder to
break than a plain one of the same current. Shared ground of the checks on contacts.
"""

from __future__ import annotations

from circuitcheck.checks.check import Case
from circuitcheck.model.switch import CARRYING, SwitchRating
from circuitcheck.units import text

INDUCTIVE, RESISTIVE, LAMP = "DC inductive", "DC resistive", "lamp"
COUNTING = {
    INDUCTIVE: (INDUCTIVE,),
    RESISTIVE: (RESISTIVE, INDUCTIVE),
    LAMP: (LAMP,),
}
"""Ratings that count for a load: what breaks a coil breaks a plain load as well."""
ASK = "ask for the {load} rating at the system's voltage"


def counting_rating(
    ratings: tuple[SwitchRating, ...], system_v: float, load: str
) -> SwitchRating | None:
    """Return the highest rating for this load at the system's voltage or more; None without."""
    counting = [r for r in ratings if r.load in COUNTING[load] and r.voltage_v >= system_v]
    return max(counting, key=lambda r: r.current_a, default=None)


def never_above_a(ratings: tuple[SwitchRating, ...], system_v: float) -> float | None:
    """Return what the inductive rating asked for cannot exceed, by the ratings that are given."""
    above = [
        r.current_a
        for r in ratings
        if r.load == INDUCTIVE or (r.load == RESISTIVE and r.voltage_v <= system_v)
    ]
    return min(above, default=None)


def carrying_a(ratings: tuple[SwitchRating, ...], air_c: float) -> tuple[float, float] | None:
    """Return what a contact carries in air of a temperature, and the air that is stated for.

    The highest of the ratings for this air or hotter; None where none is.
    """
    stated = [
        (r.current_a, r.ambient_c)
        for r in ratings
        if r.load == CARRYING and r.ambient_c is not None and r.ambient_c >= air_c
    ]
    return max(stated, default=None)


def why_not(
    case: Case, name: str, ratings: tuple[SwitchRating, ...], system_v: float, load: str
) -> str:
    """Return why no rating counts, and what to ask for."""
    ask = ASK.format(load=load)
    if not ratings:
        return f"{name} has no rating: {ask}"
    given = ", ".join(_shown(r) for r in ratings)
    note = ""
    if load == INDUCTIVE and any(r.load == RESISTIVE and r.voltage_v >= system_v for r in ratings):
        share = case.library.limit("switch_inductive_share").value
        note = f" (for one relay the inductive rating is {share:.0%} of the resistive one)"
    if any(r.load == "AC" for r in ratings):
        note += " (an arc of alternating current goes out by itself, one of direct current not)"
    system = text(system_v, "V")
    return f"only {given} is given, no {load} rating for {system} or more{note}: {ask}"


def _shown(rating: SwitchRating) -> str:
    if rating.load == CARRYING:
        return f"{text(rating.current_a, 'A')} carrying"
    return f"{text(rating.current_a, 'A')} {rating.load} at {text(rating.voltage_v, 'V')}"
