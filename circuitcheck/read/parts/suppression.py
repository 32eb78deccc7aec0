"""What takes a winding's energy at switch-off: its fields, and the record from them."""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.model.library_part_rows import SuppressorRow
from circuitcheck.model.solenoid_coil import SUPPRESSION_KINDS, Suppression
from circuitcheck.model.tolerance_band import Band
from circuitcheck.read.common_rules import AMPERES, VOLTS
from circuitcheck.read.forms.fields import Field, Given, TableOf
from circuitcheck.read.forms.forms import Either, Word
from circuitcheck.read.forms.quantities import Amount, Spread
from circuitcheck.read.forms.references import LibraryRow
from circuitcheck.units import POWER, RESISTANCE

KINDS = tuple(kind for kind in SUPPRESSION_KINDS if kind != "unknown")
WITH_CATHODE = ("diode", "diode + Zener")


def suppression_table(terminals: tuple[str, str]) -> TableOf:
    """Return the fields of a suppressor between two terminals of a winding."""
    example = (
        f'{{ kind = "diode", cathode = "{terminals[0]}", reverse = "400 V", forward = "1 A" }}'
    )
    return TableOf((
        Field("kind", Word(KINDS), "what sits across the coil", required=True,
              unknown="not judged", measure="what is inside the coil's plug"),
        Field("cathode", Word(terminals), "coil terminal at the diode's ringed end",
              left_out="not known", unknown="not known",
              measure="the + mark on the coil; or feed it, unplugged, through a fused lead of 5 A "
                      "or less and a 21 W lamp, both ways round: below 1.2 V across the coil the "
                      "diode conducts and its ring is on minus"),
        Field("type", LibraryRow("suppressors"), "trade type of a Zener pair or a TVS"),
        Field("reverse", VOLTS, "reverse voltage of the diode"),
        Field("forward", AMPERES, "forward current of the diode"),
        Field("resistance", Spread(Amount(RESISTANCE, 0.0, 1e6, above=True)), "of the resistor",
              unknown="not judged", measure="the resistance of the suppressor by itself"),
        Field("power", Amount(POWER, 0.0, 5000.0, above=True),
              "power rating of the resistor; pulse power of a TVS"),
        Field("standoff", VOLTS, "voltage up to which a TVS takes no current",
              left_out="from the type, else not judged", unknown="not judged",
              measure="the number printed on the TVS, in its data sheet"),
        Field("clamp", VOLTS, "highest voltage of a Zener pair or TVS at the coil's current",
              left_out="from the type, else not judged", unknown="not judged",
              measure="the clamping voltage in its data sheet"),
    ), example)  # fmt: skip


def suppression_field(terminals: tuple[str, str], left_out: str = "not known") -> Field:
    """Return the field `suppression` of a winding between two terminals."""
    return Field(
        "suppression", Either(KINDS, suppression_table(terminals)),
        "what takes the coil's energy at switch-off", left_out=left_out, unknown="not known",
        measure="what is inside the coil or its plug: ask the seller. A meter's diode test "
                "sees only the winding",
    )  # fmt: skip


def read_suppression(given: Given, terminals: tuple[str, str]) -> Suppression:
    """Return the suppression; what is not known is recorded."""
    stated = given.values.get("suppression")
    if not isinstance(stated, str | Given):
        given.assume("suppression", "not known: not judged")
        return Suppression("unknown")
    if isinstance(stated, Given):
        table, kind = stated, stated.settled("kind", str, "unknown", "not known")
    else:
        table, kind = suppression_table(terminals).empty(given, "suppression"), stated
    found = _with_type(table, Suppression(kind))
    cathode = table.optional("cathode", str)
    if kind in WITH_CATHODE and cathode is None:
        table.assume("cathode", "not known: polarity not judged")
        cathode = "unknown"
    resistance = table.optional("resistance", Band)
    if kind == "resistor" and resistance is None:
        table.assume("resistance", "not known: not judged")
    if kind == "bidirectional TVS" and found.standoff_v is None:
        table.assume("standoff", "not known: not judged")
    return replace(found, cathode=cathode, resistance_ohm=resistance)


def _with_type(table: Given, bare: Suppression) -> Suppression:
    row = table.optional("type", SuppressorRow)
    if row is not None and row.kind != bare.kind:
        table.at("type").problem(
            f"this is a {row.kind}", f'Write kind = "{row.kind}", or name another type.'
        )
        row = None
    power, standoff = (row.power_w, row.standoff_v) if row else (None, None)
    clamp = table.optional("clamp", float)
    return replace(
        bare,
        breakdown_v=row.breakdown_v if row else None,
        clamp_v=clamp or (row.clamp_v if row else None),
        clamp_a=row.clamp_a if row and clamp is None else None,
        reverse_v=table.optional("reverse", float),
        forward_a=table.optional("forward", float) or (row.forward_a if row else None),
        power_w=table.optional("power", float) or power,
        standoff_v=table.optional("standoff", float) or standoff,
    )
