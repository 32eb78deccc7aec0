"""What one part says of another: frames of studs, bonds of frames, the source of a tap."""

from __future__ import annotations

from collections.abc import Mapping

from circuitcheck.model.ground import Frame, GroundStud
from circuitcheck.model.harness import Part
from circuitcheck.model.relay import Relay
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.model.terminal import Terminal
from circuitcheck.read.reading import Place
from circuitcheck.read.wires import UNREADABLE, Landing, check_terminal


def check_part_references(
    place: Place, parts: Mapping[str, Part], landings: Mapping[str, Landing]
) -> None:
    """Report every part named in another part that is not there or is of the wrong kind."""
    for name, part in parts.items():
        at = place.inside(name)
        if isinstance(part, GroundStud):
            _check_frame(at.inside("frame"), part.frame, landings)
        elif isinstance(part, Frame):
            _check_bonds(at.inside("bonds"), part, landings)
        elif isinstance(part, SolenoidCoil | Relay) and part.body_frame is not None:
            _check_frame(at.inside("body").inside("frame"), part.body_frame, landings)
        elif isinstance(part, SupplyTap):
            source = part.upstream.source
            at_source = at.inside("upstream").inside("from")
            check_terminal(at_source, source, landings)
            if source.part == name:
                at_source.problem(f"{name} feeds itself", "Name the terminal before the tap.")


def _check_frame(place: Place, name: str, landings: Mapping[str, Landing]) -> None:
    landing = landings.get(name)
    if landing is not None and landing.kind in ("frame", UNREADABLE):
        return
    frames = [other for other, found in landings.items() if found.kind == "frame"]
    wrong = f"{name} is a {landing.kind}" if landing else f'there is no frame "{name}"'
    place.problem(wrong, place.hint(name, frames) or 'Name a part of kind = "frame".')


def _check_bonds(place: Place, frame: Frame, landings: Mapping[str, Landing]) -> None:
    for index, bond in enumerate(frame.bonds):
        at = place.inside(index).inside("to")
        target = Terminal(*bond.to.split(".", 1))
        check_terminal(at, target, landings)
        if target.part == frame.name:
            at.problem(f"{frame.name} is bonded to itself", "Name the other side.")
