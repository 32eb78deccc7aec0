"""The one table of every field of a harness file: form, limits, what stands in for it.

The reader works by this table, and the reference of the file format is made from it.
"""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.read.branch_rules import BRANCH, SLACK, WAY
from circuitcheck.read.common_rules import INSULATION, contact_resistance
from circuitcheck.read.forms.fields import Field
from circuitcheck.read.forms.file_beside import FileBeside
from circuitcheck.read.forms.forms import Count, ListOf, Name, Number, Text, Word, YesNo
from circuitcheck.read.forms.quantities import AREAS, Amount, Gauge, Range, Spread
from circuitcheck.read.forms.references import Colour, Cores, TerminalRef
from circuitcheck.read.parts.part_rules import PART_FIELDS
from circuitcheck.units import LENGTH, TEMPERATURE, TIME, VOLTAGE

SUPPLY = Range(Amount(VOLTAGE, 3.0, 36.0))

TOP = (
    Field("format", Count(1, 1), "version of this file format", required=True),
    Field("circuit", Text(120), "what the circuit does, in a few words", required=True),
    Field("system", Word(("12 V", "24 V")), "rated voltage of the machine", required=True),
    Field("earth", Word(("negative", "positive")), "which battery post is on the frame",
          left_out="negative"),
    Field("library", FileBeside(), "file of library rows of your own",
          left_out="the library alone"),
    Field("revision", Text(40), "revision of the file"),
    Field("date", Text(20), "date of that revision, as it shall stand on drawings"),
    Field("author", Text(80), "who wrote it"),
    Field("story", Text(2000, lines=True), "what it is for, in your own words"),
)  # fmt: skip

CONDITIONS = (
    Field("supply_engine_off", SUPPLY, "voltage at the battery posts under load, engine off",
          left_out="library/supply.csv", unknown="library/supply.csv",
          measure="the voltage at the battery posts with the circuit on and the engine off"),
    Field("supply_charging", SUPPLY, "voltage at the battery posts, engine running",
          left_out="library/supply.csv", unknown="library/supply.csv",
          measure="the voltage at the battery posts with the engine running, at idle and fast"),
    Field("supply_cranking", SUPPLY, "voltage at the battery posts while cranking",
          left_out="library/supply.csv", unknown="library/supply.csv",
          measure="the lowest voltage at the battery posts while the engine is cranked cold"),
    Field("load_dump", Word(("clamped", "not clamped")),
          "whether the alternator clamps a load dump itself; old ones do not", left_out="clamped"),
)  # fmt: skip

ZONE = (
    Field("ambient", Range(Amount(TEMPERATURE, -60.0, 150.0)), "air temperature, lowest to highest",
          required=True, unknown="-40 degC to 70 degC, in an engine space to 105 degC",
          measure="the air temperature beside the part after an hour of hard work in summer"),
    Field("engine_space", YesNo(), "inside the engine compartment", left_out="false",
          unknown="true", measure="whether the zone is closed in with the engine"),
    Field("wet", YesNo(), "open to rain, spray or washing", left_out="false", unknown="true",
          measure="whether water can reach the parts of the zone"),
)  # fmt: skip

USE = (
    Field("longest_press", Amount(TIME, 0.0, 86400.0, above=True),
          "longest time a button is held without a pause", left_out="held without pause",
          unknown="held without pause", measure="the longest press in a working day"),
    Field("presses_per_hour", Number(0.0, 36000.0), "presses in a busy hour",
          left_out="held without pause", unknown="held without pause",
          measure="the presses in a busy hour"),
    Field("service_life", Amount(TIME, 0.0, 1e9, above=True), "hours the circuit shall last",
          left_out="not counted", unknown="not counted",
          measure="the hours of work that the circuit shall last"),
    Field("longest_release", Amount(TIME, 0.0, 60.0, above=True),
          "longest time a coil may take to let go", left_out="not judged"),
)  # fmt: skip

ROUTE = Field(
    "route", ListOf(Name("zone"), 1, 20, '["cab", "boom"]'),
    "zones passed, in order from the `from` end",
    left_out="the zones of the two parts it joins", unknown="every zone of the file",
    measure="the zones the wire passes, from one end to the other",
)  # fmt: skip
WIRE_LENGTH = Field(
    "length", Spread(Amount(LENGTH, 0.0, 100.0, above=True)), "length along the wire, one way",
    required=True, unknown="0.1 m to 10 m", measure="the length along the wire",
)  # fmt: skip
WIRE_GAUGE = Field(
    "gauge", Gauge(), "conductor size", required=True,
    unknown="the smallest size of the library",
    measure="the size printed on the wire, or the diameter of its bare conductor",
)  # fmt: skip
AREA = Field(
    "area", Word(AREAS),
    "standard that sets the conductor's area",
    left_out="SAE for a size in AWG (vehicle wire, the smaller area), ISO 6722 for one in mm2",
    unknown="the one of higher resistance",
    measure="the standard printed on the wire or named on its reel",
)  # fmt: skip
MATERIAL = Field(
    "material", Word(("copper", "tinned copper", "copper-clad aluminium")),
    "metal of the conductor",
    left_out="copper", unknown="copper-clad aluminium, the one of highest resistance",
    measure="scrape a strand: aluminium is silver-white inside, tinned copper only outside",
)  # fmt: skip
COLOUR = Field(
    "colour", Colour(), "colour of the insulation", left_out="not given", unknown="not given",
    measure="the colour of the wire at both ends",
)  # fmt: skip
SHEATHED = Field(
    "sheathed", YesNo(), "inside a jacket, conduit or enclosure all the way",
    left_out="false for a wire, true for a cable", unknown="false",
    measure="whether a sleeve or conduit covers the wire from end to end",
)  # fmt: skip

ENDS = (
    Field("from", TerminalRef(), "terminal where it starts", required=True),
    Field("to", TerminalRef(), "terminal where it ends", required=True),
)

WIRE = (
    *ENDS, WIRE_GAUGE, AREA, MATERIAL, WIRE_LENGTH, INSULATION, COLOUR, ROUTE, WAY,
    Field("bundled", Count(1, 100), "current-carrying wires that lie together, this one included",
          left_out="as many as lie together in its branches, else as share its route",
          unknown="all wires of the file",
          measure="how many wires lie in the same bundle or conduit"),
    SHEATHED,
    contact_resistance("crimp_resistance", "one crimp", "crimp", "; a wire has two"),
)  # fmt: skip

CORE = (*ENDS, COLOUR)

CABLE = (
    Field("cores", Cores(), "each core; `red` of cable `C1` is the wire `C1-red`", required=True),
    WIRE_GAUGE, AREA, MATERIAL, WIRE_LENGTH, INSULATION, ROUTE, WAY, SHEATHED,
    contact_resistance("crimp_resistance", "one crimp", "crimp", "; each core has two"),
)  # fmt: skip

FIELDS: Mapping[str, tuple[Field, ...]] = {
    "top": TOP,
    "conditions": CONDITIONS,
    "zone": ZONE,
    "use": USE,
    "wire": WIRE,
    "cable": CABLE,
    "core": CORE,
    "branch": BRANCH,
    "slack": SLACK,
    **PART_FIELDS,
}
"""Fields by table: of the file, of its tables, of cores, then by kind of part."""

TABLES = ("conditions", "zone", "use", "part", "wire", "cable", "branch", "slack")
