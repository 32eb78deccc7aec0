"""Rows of relays, switches, lamps, diodes, sockets, metals and joints from their cells."""

from __future__ import annotations

import re
from collections.abc import Mapping

from circuitcheck.formulas.wire_resistance import COPPER_ZERO_C
from circuitcheck.model import library_part_rows as p
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.library.library_cells import MILLI, Cells

CONTACTS = {"make": (True, False), "break": (False, True), "changeover": (True, True)}
"""Form of a relay's contact: whether it has a make side, and a break side."""
SUPPRESSIONS = ("none", "diode", "resistor")
SUPPRESSORS = ("diode + Zener", "bidirectional TVS")
RESISTOR_TOLERANCE = 0.05

Ratings = Mapping[str, tuple[p.ContactRatingRow, ...]]
Cavities = Mapping[str, tuple[p.SocketCavityRow, ...]]


def contact_rating(c: Cells) -> p.ContactRatingRow:
    """Return one rating of a contact; only what it carries closed holds at any voltage."""
    load, volts = c.word("load", p.LOADS), c.above_zero_or_none("voltage_v")
    if (volts is None) != (load == "carrying"):
        c.disagree("voltage_v", "is given for every load but `carrying`")
    return p.ContactRatingRow(
        **c.provenance(),
        group=c.text("group"),
        side=c.word("side", p.SIDES),
        load=load,
        voltage_v=volts,
        current_a=c.above_zero("current_a"),
        ambient_c=c.number_or_none("ambient_c"),
    )


def relay(c: Cells, ratings: Ratings) -> p.RelayRow:
    """Return one relay; its winding is copper, brought from `coil_at_c` to 20 degC."""
    contacts = c.word("contacts", tuple(CONTACTS))
    makes, breaks = CONTACTS[contacts]
    coil_c, rated = c.number("coil_at_c"), c.above_zero("rated_v")
    pull_in, drop_out = c.above_zero("pull_in_v"), c.above_zero("drop_out_v")
    if not drop_out < pull_in <= rated:
        c.disagree("pull_in_v", f"must be above drop_out_v and at most {rated:g}")
    at_20c = (COPPER_ZERO_C + 20.0) / (COPPER_ZERO_C + coil_c)
    suppression = c.word("suppression", SUPPRESSIONS)
    return p.RelayRow(
        **c.provenance(),
        kind=c.word("kind", ("relay", "contactor")),
        rated_v=rated,
        resistance_20c_ohm=c.spread("coil_ohm", "tolerance_percent").scaled(at_20c),
        coil_at_c=coil_c,
        pull_in_v=pull_in,
        drop_out_v=drop_out,
        highest_v=c.above_zero_or_none("highest_v"),
        thermal_resistance_k_per_w=c.three_or_none("thermal_resistance", "k_per_w"),
        temperature_limit_c=c.above_zero_or_none("temperature_limit_c"),
        contacts=contacts,
        make_ohm=_side(c, "make", makes),
        break_ohm=_side(c, "break", breaks),
        making_limit_a=c.above_zero_or_none("making_limit_a"),
        break_making_limit_a=c.above_zero_or_none("break_making_limit_a"),
        least_current_a=c.above_zero_or_none("least_current_a"),
        suppression=suppression,
        suppression_ohm=_suppression_ohm(c, suppression),
        body_is_return=c.yes_no("body_is_return"),
        ratings=_ratings(c, ratings),
    )


def _side(c: Cells, side: str, has_side: bool) -> Band | None:
    band = c.three_or_none(side, "mohm", MILLI)
    if (band is None) == has_side:
        c.disagree(f"{side}_mohm", f"goes with a contact that has a {side} side, and only so")
    return band


def _suppression_ohm(c: Cells, suppression: str) -> Band | None:
    ohm = c.above_zero_or_none("suppression_ohm")
    if (ohm is None) == (suppression == "resistor"):
        c.disagree("suppression_ohm", "goes with the suppression `resistor`, and only so")
    return None if ohm is None else _with_tolerance(ohm, RESISTOR_TOLERANCE)


def _with_tolerance(value: float, share: float) -> Band:
    return Band(value * (1.0 - share), value, value * (1.0 + share))


def _ratings(c: Cells, ratings: Ratings) -> tuple[p.ContactRatingRow, ...]:
    group = c.text_or_empty("ratings")
    if group and group not in ratings:
        c.disagree("ratings", f"got {group!r}, no group of contact_ratings.csv")
    return ratings.get(group, ())


def pull_hold_coil(c: Cells) -> p.PullHoldCoilRow:
    """Return one coil of two windings; the pull winding is the stronger."""
    pull, hold = (c.spread(f"{w}_ohm", "tolerance_percent") for w in ("pull", "hold"))
    if pull.upper >= hold.lower:
        c.disagree("pull_ohm", "must be below hold_ohm, tolerance included")
    return p.PullHoldCoilRow(
        **c.provenance(),
        rated_v=c.above_zero("rated_v"),
        pull_ohm=pull,
        hold_ohm=hold,
        longest_pull_s=c.above_zero("longest_pull_s"),
        cut_out=c.word("cut_out", ("internal switch", "outside timer")),
        pull_in_fraction=c.share("pull_in_fraction"),
        highest_voltage_fraction=c.above_zero("highest_voltage_fraction"),
        drop_out_fraction=c.three("drop_out", "fraction"),
        thermal_resistance_k_per_w=c.three("thermal_resistance", "k_per_w"),
        thermal_time_constant_s=c.three("thermal_time_constant", "s"),
        temperature_class_c=c.above_zero("temperature_class_c"),
    )


def converter(c: Cells) -> p.ConverterRow:
    """Return one converter; it gives out less power than it takes."""
    efficiency = c.three("efficiency", "fraction")
    if efficiency.upper >= 1.0:
        c.disagree("efficiency_upper_fraction", f"got {efficiency.upper:g}, must be below 1")
    return p.ConverterRow(
        **c.provenance(),
        input_v=c.above_zero("input_v"),
        output_v=c.three("output", "v"),
        output_ohm=c.three("output", "mohm", factor=MILLI),
        rated_a=c.above_zero("rated_a"),
        efficiency_fraction=efficiency,
        idle_a=c.not_negative("idle_a"),
    )


def switch(c: Cells, ratings: Ratings) -> p.SwitchRow:
    """Return one switch or isolator."""
    return p.SwitchRow(
        **c.provenance(),
        kind=c.word("kind", ("switch", "isolator")),
        contact_ohm=c.three("contact", "mohm", factor=MILLI),
        contact=c.text("contact"),
        least_current_a=c.above_zero_or_none("least_current_a"),
        ratings=_ratings(c, ratings),
    )


def lamp(c: Cells) -> p.LampRow:
    """Return one filament lamp; its current is its power over the voltage it is measured at."""
    rated, watts = c.above_zero("rated_v"), c.above_zero("power_w")
    return p.LampRow(
        **c.provenance(),
        system_v=c.above_zero("system_v"),
        rated_v=rated,
        power_w=watts,
        current_a=c.spread("power_w", "tolerance_percent").scaled(1.0 / rated),
        cold_ratio=c.three("cold", "ratio"),
        exponent=c.share("exponent"),
    )


def led(c: Cells) -> p.LedRow:
    """Return one LED indicator; its current follows from voltage, drop and resistor."""
    system_v, forward = c.above_zero("system_v"), c.three("forward", "v")
    ohm = c.spread("series_ohm", "tolerance_percent")
    if forward.upper >= system_v:
        c.disagree("forward_upper_v", f"must be below the system's {system_v:g} V")
    return p.LedRow(
        **c.provenance(),
        system_v=system_v,
        colour=c.text("colour"),
        forward_v=forward,
        series_ohm=ohm,
        current_a=Band(
            (system_v - forward.upper) / ohm.upper,
            (system_v - forward.nominal) / ohm.nominal,
            (system_v - forward.lower) / ohm.lower,
        ),
        reverse_v=c.above_zero("reverse_v"),
    )


def diode(c: Cells) -> p.DiodeRow:
    """Return one silicon diode."""
    return p.DiodeRow(
        **c.provenance(),
        forward_v=c.three("forward", "v"),
        current_a=c.above_zero("current_a"),
        reverse_v=c.above_zero("reverse_v"),
        surge_a=c.above_zero_or_none("surge_a"),
    )


def suppressor(c: Cells) -> p.SuppressorRow:
    """Return one suppressor; stand-off below breakdown below clamp."""
    standoff, breakdown = c.above_zero("standoff_v"), c.three("breakdown", "v")
    clamp = c.above_zero("clamp_v")
    if not standoff < breakdown.lower or not breakdown.upper < clamp:
        c.disagree("breakdown_v", "must lie between standoff_v and clamp_v")
    return p.SuppressorRow(
        **c.provenance(),
        kind=c.word("kind", SUPPRESSORS),
        system_v=c.above_zero("system_v"),
        standoff_v=standoff,
        breakdown_v=breakdown,
        clamp_v=clamp,
        clamp_a=c.above_zero("clamp_a"),
        power_w=c.above_zero("power_w"),
        forward_a=c.above_zero_or_none("forward_a"),
    )


def socket_cavity(c: Cells) -> p.SocketCavityRow:
    """Return one contact of a socket; its name is socket and number."""
    socket, number = c.text("socket"), c.whole("cavity")
    if c.text("name") != f"{socket}, {number}":
        c.disagree("name", f"must be '{socket}, {number}'")
    returns = c.text_or_empty("returns_for")
    if not re.fullmatch(r"(\d+( \d+)*)?", returns):
        c.disagree("returns_for", f"got {returns!r}, must be numbers with spaces between")
    return p.SocketCavityRow(
        **c.provenance(),
        socket=socket,
        cavity=number,
        function=c.text("function"),
        terminal=c.text_or_empty("terminal"),
        colours=tuple(filter(None, c.text_or_empty("colour").split("/"))),
        size=c.text_or_empty("size"),
        returns_for=tuple(int(n) for n in returns.split()),
    )


def socket(c: Cells, cavities: Cavities) -> p.SocketRow:
    """Return one socket with its contacts, which must be numbered from 1 without a gap."""
    own = sorted(cavities.get(c.text("name"), ()), key=lambda row: row.cavity)
    numbers = [row.cavity for row in own]
    if not numbers or numbers != list(range(1, len(numbers) + 1)):
        c.disagree("name", f"socket_cavities.csv must number its contacts from 1: {numbers}")
    return p.SocketRow(
        **c.provenance(),
        system_v=c.above_zero("system_v"),
        contact=c.text("contact"),
        cavities=tuple(own),
    )


def material(c: Cells) -> p.MaterialRow:
    """Return one conductor material."""
    return p.MaterialRow(
        **c.provenance(),
        resistance_factor=c.three("resistance", "factor"),
        zero_c=c.above_zero("zero_c"),
        k_lead=c.above_zero("k_lead"),
    )


def frame_bond(c: Cells) -> p.FrameBondRow:
    """Return one kind of joint between frames."""
    ends = ("new_lower_mohm", "new_typical_mohm", "aged_upper_mohm")
    return p.FrameBondRow(**c.provenance(), resistance_ohm=c.band(*ends, factor=MILLI))


def plating_pair(c: Cells) -> p.PlatingPairRow:
    """Return one pair of platings; what may meet in the wet may meet in the dry."""
    first, second = c.text("first"), c.text("second")
    if c.text("name") != f"{first} on {second}":
        c.disagree("name", f"must be '{first} on {second}'")
    dry, wet = c.yes_no("dry"), c.yes_no("wet")
    if wet and not dry:
        c.disagree("dry", "must be yes where wet is yes")
    return p.PlatingPairRow(
        **c.provenance(),
        first=first,
        second=second,
        difference_v=c.not_negative("difference_v"),
        dry=dry,
        wet=wet,
    )
