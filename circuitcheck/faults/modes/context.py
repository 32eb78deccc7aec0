"""What the faults of a part are made from besides the part, and words that all kinds share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

from circuitcheck.circuit.topology import wires_at
from circuitcheck.faults.fault import (
    HIGH_RESISTANCE,
    OPEN,
    REVERSED,
    SHORTED,
    AddedOhm,
    CurveOpen,
    CurveReversed,
    EndMoved,
    Fault,
    Joined,
)
from circuitcheck.model.ground import Frame
from circuitcheck.model.harness import Harness
from circuitcheck.model.library import Library
from circuitcheck.model.solenoid_coil import Suppression
from circuitcheck.record import record

SEVERITIES_OHM = (0.1, 0.3, 1.0, 3.0, 10.0, 30.0, 100.0)
"""A poor joint over three decades: from one that a coil hardly notices to one as good as open."""
SHORT_OHM = 0.01
"""Bare metal pressed together: common practice, no source."""
SHORTED_DIODE_OHM = 0.05
"""A diode that has broken down is a piece of wire: common practice, no source."""


@record
class FaultContext:
    """Harness and library, with what is looked up again and again."""

    harness: Harness
    library: Library

    @cached_property
    def landed(self) -> Mapping[str, list[str]]:
        """Names of the wires on each terminal."""
        return wires_at(self.harness)

    def frame_at(self, zones: tuple[str, ...]) -> str:
        """Return the metal that a wire in these zones can touch: a frame, else battery minus.

        A frame that nothing is wired or bonded to leads nowhere: battery minus then stands for it.
        """
        frames = [f for f in self.harness.of_kind(Frame) if self._is_joined(f)]
        near = [f for f in frames if f.zone in zones]
        if not frames:
            return f"{self.harness.battery.name}.-"
        return (near or frames)[0].name

    def _is_joined(self, frame: Frame) -> bool:
        bonded = {bond.to for other in self.harness.of_kind(Frame) for bond in other.bonds}
        return bool(frame.bonds) or frame.name in bonded or frame.name in self.landed

    def limit(self, key: str) -> float:
        """Return the value of a row of the library's limits."""
        return self.library.limit(key).value

    def moved(self, terminal: str, to: str) -> Iterator[EndMoved]:
        """Yield the changes that put the wires of one terminal on another."""
        for wire in self.landed.get(terminal, ()):
            yield EndMoved(wire, terminal, to)


@record
class Words:
    """Where a fault is, how it is put right, and how that is proved."""

    place: str
    repair: str
    proof: str

    def fault(self, name: str, subject: str, mode: str, *changes: object, **more: str) -> Fault:
        """Return a fault in these words."""
        return Fault(
            name, subject, mode, changes=changes, place=self.place,  # type: ignore[arg-type]
            repair=self.repair, proof=self.proof, **more,
        )  # fmt: skip


def poor_joint(
    subject: str, branch: str, words: Words, *, what: str = "", other: str = ""
) -> Iterator[Fault]:
    """Yield one branch open, then of high resistance over the decades."""
    called = f"{subject} {what}" if what else subject
    yield words.fault(f"{called} open", subject, OPEN, AddedOhm(branch), other=other)
    yield from high_resistance(subject, branch, words, what=what, other=other)


def high_resistance(
    subject: str, branch: str, words: Words, *, what: str = "", other: str = ""
) -> Iterator[Fault]:
    """Yield one branch of high resistance, over the decades."""
    called = f"{subject} {what}" if what else subject
    for ohm in SEVERITIES_OHM:
        severity = f"{ohm:g} ohm"
        yield words.fault(
            f"{called} high resistance, {severity}", subject, HIGH_RESISTANCE,
            AddedOhm(branch, ohm), other=other, severity=severity,
        )  # fmt: skip


def suppressor_faults(
    name: str, suppression: Suppression, ends: tuple[str, str]
) -> Iterator[Fault]:
    """Yield what can go wrong with the suppressor across a coil, where it is one that carries."""
    is_diode = suppression.kind == "diode" and suppression.cathode in ends
    is_resistor = suppression.kind == "resistor" and suppression.resistance_ohm is not None
    if not (is_diode or is_resistor):
        return
    branch = f"{name}/suppressor"
    words = Words(
        f"across the coil {name}, in its plug or its body",
        f"replace the suppressor of {name} (ring of a diode to the positive end)",
        f"with {name} unplugged its resistance reads the same both ways round, that of the winding",
    )
    called, short = f"{name} suppressor", tuple(f"{name}.{end}" for end in ends)
    lost = CurveOpen(branch) if is_diode else AddedOhm(branch)
    yield words.fault(f"{called} open", name, OPEN, lost, other="suppressor")
    joined = Joined(short[0], short[1], SHORTED_DIODE_OHM)
    yield words.fault(f"{called} shorted", name, SHORTED, joined, other="suppressor")
    if is_diode:
        turned = CurveReversed(branch)
        yield words.fault(f"{called} reversed", name, REVERSED, turned, other="suppressor")
