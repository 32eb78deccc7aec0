"""A coil unplugged and fed straight from the battery: at which terminals, and with what current.

    I = V / R20 at the highest voltage of the resting battery and the least resistance, at 20 degC

A pull and hold coil takes plus on both windings at once: the hold winding alone need not pull in.
The lead is fused with DIRECT_FUSE_A (common practice, no source), which a pull winding opens.
"""

from __future__ import annotations

from circuitcheck.errors import CircuitError
from circuitcheck.model.harness import Harness
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

DIRECT_FUSE_A = 5.0
"""Rating of the fused lead by which a part is fed directly."""


@record
class DirectFeed:
    """Terminals that get plus and minus, the ends of each winding, and what flows.

    `minus` names the body of a coil that is grounded through it.
    """

    plus: tuple[str, ...]
    minus: tuple[str, ...]
    windings: tuple[tuple[str, str], ...]
    usual_ohm: float
    most_a: float

    @property
    def is_carried(self) -> bool:
        """Whether a fused lead of DIRECT_FUSE_A carries it."""
        return self.most_a <= DIRECT_FUSE_A


def direct_feed(harness: Harness, coil: str) -> DirectFeed:
    """Return how a coil is fed directly. Raises CircuitError where it is no coil."""
    part = harness.parts.get(coil)
    if isinstance(part, PullHoldCoil):
        starts = tuple(dict.fromkeys((f"{coil}.{part.pull_terminal}", f"{coil}.hold")))
        common = f"{coil}.common"
        bands = (part.pull_20c_ohm, part.hold_20c_ohm)
        turned = _first(part) == "common"
        plus, minus = ((common,), starts) if turned else (starts, (common,))
        return _feed(harness, plus, minus, tuple((one, common) for one in starts), bands)
    if not isinstance(part, SolenoidCoil | Relay):
        raise CircuitError(f"{coil} is no coil")
    names = sorted(part.coil_terminals) if isinstance(part, Relay) else ["1", "2"]
    if part.body_frame is not None:
        names = names[:1]
    ends = [f"{coil}.{name}" for name in names]
    if len(ends) < 2:
        ends.append(f"the body of {coil}")
    elif _first(part) == names[1]:
        ends.reverse()
    winding = (ends[0], ends[1])
    return _feed(harness, (ends[0],), (ends[1],), (winding,), (part.resistance_20c_ohm,))


def _first(part: SolenoidCoil | PullHoldCoil | Relay) -> str | None:
    """Return the terminal that must be positive, by polarity or by the diode across it."""
    return part.plus or part.suppression.cathode


def _feed(
    harness: Harness,
    plus: tuple[str, ...],
    minus: tuple[str, ...],
    ends: tuple[tuple[str, str], ...],
    bands: tuple[Band, ...],
) -> DirectFeed:
    usual_ohm = 1.0 / sum(1.0 / band.nominal for band in bands)
    most_s = sum(1.0 / band.lower for band in bands)
    return DirectFeed(plus, minus, ends, usual_ohm, harness.conditions.engine_off_v[1] * most_s)
