"""Fields of branches and of slack: how the wires run together, and how much longer they are cut."""

from __future__ import annotations

import re

from circuitcheck.model.branch import COVERINGS
from circuitcheck.read.forms.fields import Field, TableOf
from circuitcheck.read.forms.forms import ListOf, Name, Text, Word, refused
from circuitcheck.read.forms.quantities import Amount, Spread
from circuitcheck.read.reading import Place
from circuitcheck.record import record
from circuitcheck.units import LENGTH, SHARE

PLACE = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,23}(?:\.(?:plug|receptacle))?")


@record
class BranchEnd:
    """Where a branch begins or ends: a part, a half of a connector, or a breakout."""

    @property
    def allowed(self) -> str:
        """What may be written, in words."""
        return 'name of a part, "GRIP", of a half, "X1.plug", or of a breakout, "B1"'

    def read(self, value: object, at: Place) -> object:
        """Return the place as text; whether it exists is looked at when all is known."""
        if isinstance(value, str) and PLACE.fullmatch(value):
            return value
        return refused(at, value, f"Give the {self.allowed}.")


DISTANCE = Amount(LENGTH, 0.0, 100.0)
STEP = Amount(LENGTH, 0.01, 100.0)
BORE = Amount(LENGTH, 0.0, 0.5, above=True)

COVERING = TableOf((
    Field("kind", Word(COVERINGS), "what lies over the bundle", required=True),
    Field("size", BORE, "its inside diameter", left_out="not given", unknown="not given",
          measure="the size printed on it, or its inside diameter"),
), '{ kind = "split conduit", size = "10 mm" }')  # fmt: skip

CLIPS = TableOf((
    Field("every", STEP, "distance from clip to clip, from the `from` end",
          left_out="places in `at`"),
    Field("at", ListOf(DISTANCE, 1, 100, '["0.2 m", "0.6 m"]'),
          "distances from the `from` end", left_out="as `every` says"),
), '{ every = "0.3 m" }')  # fmt: skip

GROMMETS = ListOf(TableOf((
    Field("at", DISTANCE, "distance from the `from` end", required=True),
    Field("panel", Text(40), "what it passes through", required=True),
    Field("hole", BORE, "diameter of the hole", left_out="not given", unknown="not given",
          measure="the hole in the panel"),
), '{ at = "0.9 m", panel = "cab floor", hole = "20 mm" }'), 1, 20)  # fmt: skip

INLINE = ListOf(TableOf((
    Field("part", Name("part"), "fuse, splice or other part that sits on the branch",
          required=True),
    Field("at", DISTANCE, "distance from the `from` end", required=True, unknown="not measured",
          measure="the distance along the branch from its `from` end"),
), '{ part = "SP1", at = "0.4 m" }'), 1, 50)  # fmt: skip

BRANCH = (
    Field("from", BranchEnd(), "where it begins", required=True),
    Field("to", BranchEnd(), "where it ends", required=True),
    Field("length", Spread(Amount(LENGTH, 0.0, 100.0, above=True)), "length along the bundle",
          required=True, unknown="not measured",
          measure="the length along the bundle, from one end to the other"),
    Field("zone", Name("zone"), "zone it runs through",
          left_out="the zone of the parts at its ends", unknown="the extremes of all zones",
          measure="where the branch runs"),
    Field("covering", COVERING, "sleeve or conduit over it", left_out="not given",
          unknown="not given", measure="what lies over the bundle"),
    Field("clips", CLIPS, "where it is held", left_out="none given"),
    Field("grommets", GROMMETS, "where it passes a panel", left_out="none"),
    Field("inline", INLINE, "parts that sit on it between its ends", left_out="none"),
)  # fmt: skip

SLACK = (
    Field("along", Amount(SHARE, 0.0, 0.5), "how much longer a wire is cut than it lies",
          left_out="3 % (common practice)"),
    Field("each_end", Amount(LENGTH, 0.0, 2.0), "length added at each end of a wire",
          left_out="50 mm (common practice)"),
)  # fmt: skip

WAY = Field(
    "way", ListOf(Name("branch"), 1, 50, '["B1", "B2"]', distinct=True),
    "branches it runs through, in order from the `from` end",
    left_out="the shortest way along the branches",
)  # fmt: skip
