"""Pull and hold coils: either winding open or shorted, plunger stuck, the cut-out stuck."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.faults.fault import FAILS_TO_OPEN, OPEN, AddedOhm, Fault, RelayStuck
from circuitcheck.faults.modes.context import FaultContext, Words, suppressor_faults
from circuitcheck.faults.modes.solenoid_coil import seized, shorted_turns, winding_words
from circuitcheck.model.pull_hold_coil import PullHoldCoil


def faults(part: PullHoldCoil, context: FaultContext) -> Iterator[Fault]:
    """Yield the faults of one coil and its suppressor."""
    name = part.name
    for which, band in (("hold", part.hold_20c_ohm), ("pull", part.pull_20c_ohm)):
        reads = f"its {which} winding, cold, reads {band.lower:.3g} to {band.upper:.3g} ohm"
        words, branch = winding_words(name, reads), f"{name}/{which}"
        yield words.fault(
            f"{name} {which} winding open", name, OPEN, AddedOhm(branch), other=f"{which} winding"
        )
        yield from shorted_turns(name, branch, words, what=f"{which} winding")
    yield seized(name)
    if part.cuts_out:
        words = Words(
            f"the cut-out of the pull winding of {name}",
            f"replace {name}, or what cuts its pull winding off, at once: the winding burns",
            f"its current falls to that of the hold winding once {name} has clicked",
        )
        stuck = RelayStuck(name, operated=False)
        yield words.fault(f"{name} pull winding never cut out", name, FAILS_TO_OPEN, stuck,
                          other="cut-out")  # fmt: skip
    yield from suppressor_faults(name, part.suppression, ("hold", "common"))
