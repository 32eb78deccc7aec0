"""The fields of connectors, splices, frames and ground studs."""

from __future__ import annotations

from circuitcheck.model.ground import BOND_KINDS
from circuitcheck.read.common_rules import MILLIOHMS, ZONE_OF_PART, contact_resistance
from circuitcheck.read.forms.fields import Field, TableOf
from circuitcheck.read.forms.forms import Count, ListOf, Name, OneOrMore, Word
from circuitcheck.read.forms.references import Cavity, LibraryRow, TerminalRef

PLATINGS = ("tin", "silver", "gold", "nickel", "brass", "copper")
"""Surfaces of contacts; bare brass and copper count as their own."""

CONNECTOR = (
    ZONE_OF_PART,
    Field("socket", LibraryRow("sockets"), "standard of a trailer socket, sets its cavities"),
    Field("cavities", Count(1, 100), "cavities of each half",
          left_out="as the socket's standard has it; needed without a socket"),
    Field("contact", LibraryRow("contacts", ("connector", "trailer contact")), "contact family",
          left_out="that of the socket; needed without a socket",
          unknown="resistance: the extremes of all families; rating: not judged",
          measure="the width of the blade or the diameter of the pin, and whether it is sealed"),
    Field("contact_resistance", MILLIOHMS, "one mated pair, new to aged",
          left_out="from the contact family", unknown="from the contact family",
          measure="the voltage drop across a mated pair at a known current"),
    Field("plating", OneOrMore(Word(PLATINGS), 2),
          "surface of the contacts; of plug and receptacle in a list where they differ",
          left_out="from the contact family, alike in both halves", unknown="not judged",
          measure="the colour of the contacts in both halves: tin and silver are white, gold and "
                  "brass yellow; ask the seller"),
    Field("rows", Count(1, 10), "rows of cavities on its face, numbered row by row",
          left_out="drawn in one row up to three cavities, else in two"),
    Field("double_crimps", ListOf(Cavity(), 0, 100), "cavities made to take two wires",
          left_out="none"),
)  # fmt: skip
SPLICE = (ZONE_OF_PART, contact_resistance("joint_resistance", "one wire's joint", "crimp splice"))

FRAME_BONDS = ListOf(TableOf((
    Field("to", TerminalRef(), "frame or terminal at the other side", required=True),
    Field("by", Word(tuple(kind for kind in BOND_KINDS if kind != "unknown")),
          "what joins them", left_out="not known", unknown="not known",
          measure="what carries the current from one frame to the other"),
    Field("resistance", MILLIOHMS, "bolts, strap, hinge or coupling, new to aged",
          left_out="library frame bond, by what joins them",
          unknown="library frame bond, by what joins them",
          measure="the voltage drop between the two frames at a known current"),
), '{ to = "CHASSIS", by = "strap", resistance = ["1 mohm", "20 mohm"] }'), 0, 20)  # fmt: skip
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
