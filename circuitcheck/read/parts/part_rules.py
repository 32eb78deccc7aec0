"""The fields of every kind of part."""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.model.supply_tap import NEVER_TAP
from circuitcheck.read.common_rules import (
    AMPERES,
    INSULATION,
    LEAST_CURRENT,
    MILLIOHMS,
    VOLTS,
    ZONE_OF_PART,
    contact_resistance,
    rating_field,
)
from circuitcheck.read.forms.fields import Field, TableOf
from circuitcheck.read.forms.forms import (
    Button,
    Either,
    ListOf,
    Name,
    OneOrMore,
    TerminalName,
    Word,
)
from circuitcheck.read.forms.fuse_style import FuseStyle
from circuitcheck.read.forms.quantities import AREAS, Amount, Gauge, Range, Spread
from circuitcheck.read.forms.references import LibraryRow, TerminalRef
from circuitcheck.read.parts.coil_rules import SOLENOID_COIL
from circuitcheck.read.parts.indicator_rules import DIODE, INDICATOR_LAMP, LED_INDICATOR, RESISTOR
from circuitcheck.read.parts.join_rules import CONNECTOR, FRAME, GROUND_STUD, SPLICE
from circuitcheck.read.parts.parts_converter import CONVERTER
from circuitcheck.read.parts.pull_hold_rules import PULL_HOLD_COIL
from circuitcheck.read.parts.relay_rules import CONTACTOR, RELAY
from circuitcheck.units import (
    CURRENT,
    LENGTH,
    RESISTANCE,
    VOLTAGE,
)

BREAKING_AMPERES = Amount(CURRENT, 0.0, 100_000.0, above=True)

BATTERY = (
    ZONE_OF_PART,
    Field("type", LibraryRow("batteries"), "type and capacity", required=True,
          unknown="the extremes of all batteries of this voltage",
          measure="the capacity (Ah) and cold-cranking current printed on the battery"),
    Field("open_circuit", Spread(Amount(VOLTAGE, 6.0, 32.0)), "voltage at rest, empty to full",
          left_out="from the type", unknown="from the type",
          measure="the voltage after a night at rest"),
    Field("internal_resistance", Spread(Amount(RESISTANCE, 0.0, 1.0, above=True)),
          "warm and charged to cold and aged", left_out="from the type", unknown="from the type",
          measure="with a battery tester"),
    Field("charging_current", Amount(CURRENT, 0.0, 1000.0), "most that the alternator delivers",
          left_out="from the type", unknown="from the type",
          measure="the current printed on the alternator"),
    contact_resistance("post_resistance", "one post clamp", "battery post clamp"),
)  # fmt: skip

FEEDS = ("auxiliary socket", "lighting", "radio", "wiper", "heater fan", "other", *NEVER_TAP)
"""A circuit of NEVER_TAP is let through here; a check says why it must not be tapped."""

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
              left_out="SAE for a size in AWG, ISO 6722 for one in mm2",
              unknown="the one of higher resistance",
              measure="the standard printed on the wire"),
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
    Field("also_feeds", ListOf(Word(FEEDS), 0, 20, distinct=True),
          "what else hangs on the tapped circuit", left_out="not known", unknown="not known",
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
    Field("style", FuseStyle(), "style of fuse",
          required=True, measure="compare the fuse with `circuitcheck library fuse`"),
    Field("element_resistance", Spread(Amount(RESISTANCE, 0.0, 10.0, above=True)),
          "cold and unloaded to hot at rated current",
          left_out="from the library row", unknown="from the library row",
          measure="the fuse's data sheet"),
    Field("voltage_rating", VOLTS, "voltage printed on the fuse",
          left_out="from the library row", unknown="from the library row",
          measure="the voltage printed on the fuse"),
    Field("breaking_capacity", BREAKING_AMPERES, "highest current it can break",
          left_out="from the library row", unknown="from the library row",
          measure="the fuse's data sheet"),
    contact_resistance("clip_resistance", "one clip of the fuse holder", "fuse clip"),
)  # fmt: skip

SWITCH_TYPE = Field("type", LibraryRow("switches", ("switch",)), "trade type of its contacts")
ACTION = Field("action", Word(("momentary", "maintained")), "springs back, or stays",
               required=True, unknown="maintained",
               measure="whether the button springs back")  # fmt: skip
CONTACT_PAIR = ListOf(TerminalName(), 2, 2, '["feed", "out_left"]')
BUTTONS = ListOf(Button(), 2, 20, '["left", "right"]', distinct=True)
SWITCH_RESISTANCE = contact_resistance("contact_resistance", "one closed contact", "switch contact")
SWITCH_HANDLE = (
    ZONE_OF_PART,
    Field("contacts", ListOf(TableOf((
        Field("button", Button(), "button that works the contact", required=True),
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
    SWITCH_TYPE,
    rating_field("rating", "each contact"),
    LEAST_CURRENT,
    SWITCH_RESISTANCE,
)  # fmt: skip
SWITCH = (
    ZONE_OF_PART,
    ACTION,
    Field("rest", Word(("open", "closed")), "state while it is not worked", left_out="open"),
    SWITCH_TYPE,
    rating_field("rating", "each contact"),
    LEAST_CURRENT,
    SWITCH_RESISTANCE,
)

ISOLATOR = (
    ZONE_OF_PART,
    Field("type", LibraryRow("switches", ("isolator",)), "trade type of its contact"),
    rating_field("rating", "its contact"),
    LEAST_CURRENT,
    SWITCH_RESISTANCE,
)

PART_FIELDS = {
    "battery": BATTERY,
    "supply tap": SUPPLY_TAP,
    "fuse": FUSE,
    "switch handle": SWITCH_HANDLE,
    "switch": SWITCH,
    "isolator": ISOLATOR,
    "connector": CONNECTOR,
    "splice": SPLICE,
    "ground stud": GROUND_STUD,
    "frame": FRAME,
    "solenoid coil": SOLENOID_COIL,
    "pull and hold coil": PULL_HOLD_COIL,
    "relay": RELAY,
    "contactor": CONTACTOR,
    "indicator lamp": INDICATOR_LAMP,
    "LED indicator": LED_INDICATOR,
    "diode": DIODE,
    "resistor": RESISTOR,
    "converter": CONVERTER,
}

NEEDED: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "solenoid coil": (("type",), ("resistance",)),
    "pull and hold coil": (("type",), ("pull_resistance", "hold_resistance")),
    "relay": (("type",), ("resistance", "contacts")),
    "contactor": (("type",), ("resistance",)),
    "indicator lamp": (("type",), ("power",), ("current",)),
    "LED indicator": (("type",), ("forward", "series")),
    "diode": (("type",), ("forward", "current")),
    "converter": (("type",), ("output", "rated_current")),
    "connector": (("socket",), ("cavities", "contact")),
}
"""Keys of which a part needs one set, for all that has no value by itself."""
