"""The fields of every kind of part."""

from __future__ import annotations

from circuitcheck.model.solenoid_coil import HAZARDS
from circuitcheck.read.fields import Field, TableOf
from circuitcheck.read.forms import (
    Count,
    Either,
    ListOf,
    Name,
    OneOrMore,
    TerminalName,
    Text,
    Word,
)
from circuitcheck.read.quantities import AREAS, Amount, Gauge, Range, Spread
from circuitcheck.read.references import Cavity, LibraryRow, TerminalRef
from circuitcheck.units import (
    CURRENT,
    INDUCTANCE,
    LENGTH,
    POWER,
    RESISTANCE,
    SHARE,
    TEMPERATURE,
    THERMAL_RESISTANCE,
    TIME,
    VOLTAGE,
)

VOLTS = Amount(VOLTAGE, 0.0, 1000.0, above=True)
AMPERES = Amount(CURRENT, 0.0, 1000.0, above=True)
BREAKING_AMPERES = Amount(CURRENT, 0.0, 100_000.0, above=True)
MILLIOHMS = Spread(Amount(RESISTANCE, 0.0, 10.0))

ZONE_OF_PART = Field(
    "zone", Name("zone"), "zone the part sits in",
    left_out="the zone in which its wires end, else the extremes of all zones",
    unknown="the extremes of all zones", measure="where the part sits",
)  # fmt: skip
INSULATION = Field(
    "insulation", LibraryRow("insulation"), "insulation class",
    left_out="the 60 degC class", unknown="the 60 degC class",
    measure="the type printed on the wire, or ask the seller for its temperature class",
)  # fmt: skip


def contact_resistance(key: str, what: str, row: str) -> Field:
    """Return the field of a contact's resistance, new to aged, with its library row."""
    return Field(
        key, MILLIOHMS, f"resistance of {what}, new to aged",
        left_out=f"library contact `{row}`", unknown=f"library contact `{row}`",
        measure=f"the voltage drop across {what} at a known current",
    )  # fmt: skip


BATTERY = (
    ZONE_OF_PART,
    Field("type", LibraryRow("batteries"), "type and capacity", required=True,
          unknown="the extremes of all batteries of this voltage",
          measure="the capacity (Ah) and cold-cranking current printed on the battery"),
    Field("open_circuit", Spread(Amount(VOLTAGE, 6.0, 32.0)), "voltage at rest, empty to full",
          left_out="from the type"),
    Field("internal_resistance", Spread(Amount(RESISTANCE, 0.0, 1.0, above=True)),
          "warm and charged to cold and aged", left_out="from the type"),
    Field("charging_current", Amount(CURRENT, 0.0, 1000.0), "most that the alternator delivers",
          left_out="from the type", unknown="from the type",
          measure="the current printed on the alternator"),
    contact_resistance("post_resistance", "one post clamp", "battery post clamp"),
)  # fmt: skip

NEVER_TAP = (
    "seat switch", "brake", "engine stop", "airbag", "steering", "electronic module",
    "electronic fuse",
)  # fmt: skip
"""Circuits that must not be tapped; a later check says why, the reader lets them through."""
FEEDS = ("auxiliary socket", "lighting", "radio", "wiper", "heater fan", "other", *NEVER_TAP)

KEY_CONTACT = TableOf(
    (
        Field("resistance", MILLIOHMS, "key contact and its plug, new to aged",
              left_out="library contact `switch contact`",
              unknown="library contact `switch contact`",
              measure="the voltage drop from the key's input to its output at a known current"),
        Field("rated_current", AMPERES, "rated current of the key contact",
              left_out="not judged", unknown="not judged",
              measure="the rating printed on the key switch"),
    ),
    '{ rated_current = "10 A" }',
)  # fmt: skip
UPSTREAM = TableOf(
    (
        Field("from", TerminalRef(), "terminal that feeds it", left_out="battery +",
              unknown="battery +", measure="which terminal feeds the tap"),
        Field("fuse", Either(("none", "electronic fuse"), LibraryRow("fuses")),
              "the machine's own fuse before the tap", required=True,
              unknown="no fuse known: not judged",
              measure="pull fuses until the tap goes dead; read the number on that fuse"),
        Field("gauge", Gauge(), "size of the machine's wire to the tap", required=True,
              unknown="the smallest size of the library",
              measure="the size printed on the wire, or the diameter of its bare conductor"),
        Field("area", Word(AREAS), "standard that sets the conductor's area",
              left_out="SAE for a size in AWG, ISO 6722 for one in mm2"),
        Field("length", Spread(Amount(LENGTH, 0.0, 100.0, above=True)),
              "length of the machine's wire to the tap", required=True,
              unknown="0.1 m to 10 m", measure="follow the loom from the fuse box to the tap"),
        INSULATION,
        Field("zone", Name("zone"), "zone the machine's wire passes",
              left_out="zone of the tap", unknown="the extremes of all zones",
              measure="where the machine's wire runs"),
        Field("key", Word(("on", "always")), "live with the key on only, or always", required=True,
              unknown="live in every key state", measure="the voltage at the tap with the key off"),
        Field("cranking", Word(("on", "off")), "whether it stays live while cranking",
              required=True, unknown="stays live",
              measure="the voltage at the tap while an assistant cranks"),
        Field("present_load", Range(Amount(CURRENT, 0.0, 1000.0)),
              "what the tap carries already, all its consumers on", required=True,
              unknown="not judged",
              measure="the current at the fuse, by clamp meter, with all its consumers on"),
        Field("key_contact", Either(("none",), KEY_CONTACT), "key contact on the way",
              left_out="one contact, or none where the tap is always live",
              unknown="one contact, not rated", measure="the wiring diagram of the machine"),
        contact_resistance("clip_resistance", "one clip of the machine's fuse", "fuse clip"),
    ),
    '{ from = "BAT.+", fuse = "15 A blade", gauge = "14 AWG", length = "1.8 m", key = "on", '
    'cranking = "off", present_load = "3.5 A" }',
)  # fmt: skip
SUPPLY_TAP = (
    ZONE_OF_PART,
    Field("upstream", UPSTREAM, "all that lies between battery and tap", required=True),
    Field("also_feeds", ListOf(Word(FEEDS), 0, 20), "what else hangs on the tapped circuit",
          left_out="not known", unknown="not known",
          measure="what stops working when the machine's fuse is pulled"),
    Field("contact", LibraryRow("contacts", ("connector", "splice", "ring terminal")),
          "how the first wire joins the tap", left_out="the extremes of splice, ring and connector",
          unknown="the extremes of splice, ring and connector",
          measure="how the wire is joined: splice, ring on a stud, or which connector"),
)  # fmt: skip

FUSE = (
    ZONE_OF_PART,
    Field("rating", AMPERES, "number printed on the fuse", required=True,
          measure="read the number printed on the fuse"),
    Field("style", Word(("blade", "mini blade")), "style of fuse",
          required=True, measure="compare the fuse with `circuitcheck library fuse`"),
    Field("element_resistance", Spread(Amount(RESISTANCE, 0.0, 10.0, above=True)),
          "cold and unloaded to hot at rated current", left_out="from the library row"),
    Field("voltage_rating", VOLTS, "voltage printed on the fuse", left_out="from the library row"),
    Field("breaking_capacity", BREAKING_AMPERES, "highest current it can break",
          left_out="from the library row"),
    contact_resistance("clip_resistance", "one clip of the fuse holder", "fuse clip"),
)  # fmt: skip

RATING = Field(
    "rating",
    OneOrMore(TableOf((
        Field("current", AMPERES, "current of the rating", required=True),
        Field("voltage", VOLTS, "voltage it holds for", required=True),
        Field("load", Word(("DC inductive", "DC resistive", "AC")), "load it holds for",
              required=True),
    ), '{ current = "3 A", voltage = "14 V", load = "DC inductive" }'), 20),
    "rating of each contact, with the voltage and load it holds for",
    left_out="not judged", unknown="not judged",
    measure="the rating printed on the switch or in its data sheet, for direct current",
)  # fmt: skip
ACTION = Field("action", Word(("momentary", "maintained")), "springs back, or stays",
               required=True, unknown="maintained",
               measure="whether the button springs back")  # fmt: skip
CONTACT_PAIR = ListOf(TerminalName(), 2, 2, '["feed", "out_left"]')
BUTTONS = ListOf(Name("button"), 2, 20, '["left", "right"]')
SWITCH_RESISTANCE = contact_resistance("contact_resistance", "one closed contact", "switch contact")
SWITCH_HANDLE = (
    ZONE_OF_PART,
    Field("contacts", ListOf(TableOf((
        Field("button", Name("button"), "button that works the contact", required=True),
        ACTION,
        Field("closes", CONTACT_PAIR, "terminals joined while it is worked"),
        Field("opens", CONTACT_PAIR, "terminals parted while it is worked"),
    ), '{ button = "left", action = "momentary", closes = ["feed", "out_left"] }'), 1, 20),
          "each contact with its button", required=True),
    Field("interlock", OneOrMore(TableOf((
        Field("kind", Word(("none", "mechanical", "electrical")), "what keeps them apart",
              required=True, unknown="none", measure="whether both buttons can be held at once"),
        Field("between", BUTTONS, "buttons that it concerns", required=True),
    ), '{ kind = "none", between = ["left", "right"] }'), 20),
          "what keeps buttons from being on together", left_out="none", unknown="none",
          measure="whether both buttons can be held at once"),
    RATING,
    SWITCH_RESISTANCE,
)  # fmt: skip
SWITCH = (
    ZONE_OF_PART,
    ACTION,
    Field("rest", Word(("open", "closed")), "state while it is not worked", left_out="open"),
    RATING,
    SWITCH_RESISTANCE,
)

CONNECTOR = (
    ZONE_OF_PART,
    Field("cavities", Count(1, 100), "cavities of each half", required=True),
    Field("contact", LibraryRow("contacts", ("connector",)), "contact family", required=True,
          unknown="resistance: the extremes of all families; rating: not judged",
          measure="the width of the blade or the diameter of the pin, and whether it is sealed"),
    Field("contact_resistance", MILLIOHMS, "one mated pair, new to aged",
          left_out="from the contact family"),
    Field("double_crimps", ListOf(Cavity(), 0, 100), "cavities made to take two wires",
          left_out="none"),
)  # fmt: skip
SPLICE = (ZONE_OF_PART, contact_resistance("joint_resistance", "one wire's joint", "crimp splice"))

FRAME_BONDS = ListOf(TableOf((
    Field("to", TerminalRef(), "frame or terminal at the other side", required=True),
    Field("resistance", MILLIOHMS, "bolts, hinge or strap, new to aged", required=True,
          unknown="library contact `frame bond`",
          measure="the voltage drop between the two frames at a known current"),
), '{ to = "CHASSIS", resistance = ["1 mohm", "20 mohm"] }'), 0, 20)  # fmt: skip
FRAME = (
    ZONE_OF_PART,
    Field("bonds", FRAME_BONDS, "what joins it to other frames", left_out="none"),
    contact_resistance("surface_resistance", "one ring on the metal", "ring terminal on stud"),
)
GROUND_STUD = (
    ZONE_OF_PART,
    Field("frame", Name("frame"), "frame that the stud sits on", required=True),
    contact_resistance("bond", "the stud on its frame", "frame bond"),
    Field("rings", Count(1, 20), "ring terminals that the stud may take",
          left_out="4 (ABYC E-11: no more than four on one stud)"),
)  # fmt: skip

DIODE_KEYS = (
    Field("kind", Word(("none", "diode", "diode + Zener", "resistor")), "what sits across the coil",
          required=True, unknown="not judged", measure="what is inside the coil's plug"),
    Field("cathode", Word(("1", "2")), "coil terminal at the diode's ringed end",
          left_out="not known", unknown="not known",
          measure="the diode test of a meter, both ways round, with the coil unplugged"),
    Field("reverse", VOLTS, "reverse voltage of the diode"),
    Field("forward", AMPERES, "forward current of the diode"),
    Field("resistance", Spread(Amount(RESISTANCE, 0.0, 1e6, above=True)), "of the resistor",
          unknown="not judged", measure="the resistance of the suppressor by itself"),
    Field("power", Amount(POWER, 0.0, 1000.0, above=True), "power rating of the resistor"),
)  # fmt: skip
CLASSES = {"Y": 90.0, "A": 105.0, "E": 120.0, "B": 130.0, "F": 155.0, "H": 180.0, "N": 200.0}
"""Highest temperature of an insulation class, degC (IEC 60085)."""
THERMAL = TableOf(
    (
        Field("resistance", Spread(Amount(THERMAL_RESISTANCE, 0.0, 1000.0, above=True)),
              "winding to air", left_out="library coils of like resistance",
              unknown="library coils of like resistance",
              measure="the winding's rise after two hours on, by its resistance, over its power"),
        Field("time_constant", Spread(Amount(TIME, 0.0, 86400.0, above=True)),
              "time to 63 % of the final rise", left_out="library coils of like resistance",
              unknown="library coils of like resistance",
              measure="the time to 63 % of the final rise"),
        Field("limit", Amount(TEMPERATURE, 40.0, 300.0), "highest winding temperature",
              left_out="not judged", unknown="not judged", measure="the coil's data sheet"),
        Field("class", Word(tuple(CLASSES)), "insulation class, instead of the limit",
              unknown="not judged", measure="the letter printed on the coil"),
    ),
    '{ resistance = "5 K/W", class = "H" }',
)  # fmt: skip
MOVES = TableOf(
    (
        Field("valve", Text(60), "the valve it sits on"),
        Field("port", Text(60), "the port it opens"),
        Field("movement", Text(80), "what moves on the machine"),
        Field("hazard", Word(HAZARDS), "how that can hurt", left_out="unknown"),
    ),
    '{ valve = "section valve", port = "left boom", movement = "opens left boom", '
    'hazard = "spray" }',
)  # fmt: skip
SHARE_OF_RATED = Amount(SHARE, 0.05, 3.0)
SOLENOID_COIL = (
    ZONE_OF_PART,
    Field("type", LibraryRow("coils"), "trade type, gives all that the file does not"),
    Field("resistance", Spread(Amount(RESISTANCE, 0.01, 10_000.0), "at_20degC", 0.1),
          "of the winding at 20 degC; 10 % tolerance where none is given",
          left_out="from the type", unknown="all library coils of this voltage",
          measure="the resistance between the coil's terminals, unplugged and cold, and the air "
                  "temperature"),
    Field("rated", Amount(VOLTAGE, 1.0, 60.0), "voltage printed on the coil",
          left_out="from the type, else the system voltage", unknown="the system voltage",
          measure="the voltage printed on the coil"),
    Field("pull_in", SHARE_OF_RATED, "share of rated voltage at which it must have moved",
          left_out="from the type, else limit `coil_pull_in_fraction`",
          unknown="limit `coil_pull_in_fraction`", measure="the coil's data sheet"),
    Field("highest", SHARE_OF_RATED, "highest share of rated voltage it may see",
          left_out="from the type, else limit `coil_highest_voltage_fraction`",
          unknown="limit `coil_highest_voltage_fraction`", measure="the coil's data sheet"),
    Field("rated_ambient", Amount(TEMPERATURE, -40.0, 120.0),
          "air temperature for which pull-in is stated", left_out="20 degC", unknown="20 degC",
          measure="the coil's data sheet"),
    Field("duty", Either(("continuous",), Amount(SHARE, 0.0, 1.0, above=True)),
          "share of time that the maker allows",
          left_out="from the type, else not judged", unknown="not judged",
          measure="the duty (ED) printed on the coil"),
    Field("thermal", THERMAL, "heat path and temperature limit",
          left_out="from the type, else library coils of like resistance",
          unknown="library coils of like resistance", measure="the coil's data sheet"),
    Field("inductance", Spread(Amount(INDUCTANCE, 0.0, 100.0, above=True)),
          "of the winding, plunger out to plunger in",
          left_out="from the type, else library coils of like resistance",
          unknown="library coils of like resistance", measure="the coil's data sheet"),
    Field("polarity", Either(("either",), TableOf((
        Field("plus", Word(("1", "2")), "terminal that must be positive", required=True),
    ), '{ plus = "1" }')), "whether it matters which way round", left_out="either",
          unknown="either", measure="whether the coil or its plug is marked + or 1"),
    Field("suppression", Either(("none", "diode", "diode + Zener", "resistor"),
                                TableOf(DIODE_KEYS, '{ kind = "diode", cathode = "1" }')),
          "what takes the coil's energy at switch-off", left_out="not known", unknown="not known",
          measure="what is inside the coil or its plug: ask the seller, or use the diode test"),
    Field("moves", MOVES, "what the coil works, and how that can hurt",
          left_out="hazard unknown", unknown="hazard unknown",
          measure="what moves on the machine when the coil is on"),
)  # fmt: skip

PART_FIELDS = {
    "battery": BATTERY,
    "supply tap": SUPPLY_TAP,
    "fuse": FUSE,
    "switch handle": SWITCH_HANDLE,
    "switch": SWITCH,
    "connector": CONNECTOR,
    "splice": SPLICE,
    "ground stud": GROUND_STUD,
    "frame": FRAME,
    "solenoid coil": SOLENOID_COIL,
}
KINDS_NOT_YET = (
    "relay", "indicator lamp", "LED indicator", "diode", "resistor", "converter",
)  # fmt: skip
"""Kinds of the trade that this version does not know."""
