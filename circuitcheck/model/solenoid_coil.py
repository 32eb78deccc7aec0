"""Solenoid coil of a valve, latch or clutch."""

from __future__ import annotations

from typing import ClassVar

from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

SUPPRESSION_KINDS = (
    "none",
    "diode",
    "diode + Zener",
    "resistor",
    "bidirectional TVS",
    "unknown",
)


@record
class Suppression:
    """What takes the coil's energy at switch-off.

    `kind` is one of SUPPRESSION_KINDS. `cathode` is the coil terminal on which the diode's cathode
    (the end with the ring) sits, `unknown` or None; a resistor and a bidirectional TVS have no
    polarity. `resistance_ohm` is for the resistor; up to `standoff_v` a TVS takes no current worth
    counting, in `breakdown_v` a TVS or Zener begins to conduct, at `clamp_a` it holds the voltage
    to `clamp_v`. The ratings are None where not given.
    """

    kind: str
    cathode: str | None = None
    resistance_ohm: Band | None = None
    reverse_v: float | None = None
    forward_a: float | None = None
    power_w: float | None = None
    standoff_v: float | None = None
    breakdown_v: Band | None = None
    clamp_v: float | None = None
    clamp_a: float | None = None


@record
class Moves:
    """What the coil works, in the owner's words, and how it can hurt.

    `hazard` is one of HAZARDS; so is `hazard_if_lost`, what may happen when the coil lets go
    unasked, None where the owner does not say.
    """

    valve: str
    port: str
    movement: str
    hazard: str
    hazard_if_lost: str | None = None

    @property
    def stops_on(self) -> str | None:
        """The hazard that needs a functional-safety assessment first, None where there is none."""
        both = (self.hazard, self.hazard_if_lost)
        return next((one for one in both if one in STOP_HAZARDS), None)

    @property
    def loss(self) -> str:
        """What may happen when the coil lets go unasked, as far as the owner says."""
        if self.hazard_if_lost is not None:
            return self.hazard_if_lost
        return self.hazard if self.hazard in ("load can fall", "unknown") else "none"


HAZARDS = (
    "none",
    "spray",
    "noise",
    "machine part moves",
    "load can fall",
    "unknown",
    "steering",
    "brakes",
    "lifting people",
    "driven shaft",
)
STOP_HAZARDS = ("steering", "brakes", "lifting people", "driven shaft")
"""Movements that need a functional-safety assessment (ISO 25119, ISO 13849) before anything."""


@record
class Plunger:
    """What a coil moves: stroke [m], moving mass [kg], forces that hold it back [N].

    `spring_n` is the spring's force released, `seated_spring_n` seated; `load_n` what the valve or
    latch adds. `released_h` and `seated_h` are the inductance of the coil in the two places.
    """

    stroke_m: float
    mass_kg: float
    spring_n: float
    seated_spring_n: float
    load_n: float
    released_h: float
    seated_h: float


@record
class SolenoidCoil:
    """A direct-current coil with its winding, heat path and what it needs to pull in.

    `resistance_20c_ohm` of the winding at 20 degC. `pull_in_fraction` and `highest_fraction` are
    shares of `rated_v` at the terminals, for the coil at running temperature in
    `rated_ambient_c`. `thermal_resistance_k_per_w`, `thermal_time_constant_s`, `inductance_h` and
    `temperature_limit_c` are None where unknown. `duty` is the share of time the maker allows, 1
    for continuous. `plus` is the terminal that must be positive, None where either may be. Below
    `drop_out_fraction` of `rated_v` the plunger has let go: the lower end is safe for every coil of
    the type; None where not known. A coil grounded through its body has no terminal 2 for a wire:
    `body_frame` names the frame that `body_ohm` leads to. `plunger` is what it moves, as far
    as known.
    """

    kind: ClassVar[str] = "solenoid coil"
    name: str
    zone: str
    rated_v: float
    resistance_20c_ohm: Band
    pull_in_fraction: float | None
    highest_fraction: float | None
    rated_ambient_c: float
    duty: float | None
    thermal_resistance_k_per_w: Band | None
    thermal_time_constant_s: Band | None
    temperature_limit_c: float | None
    inductance_h: Band | None
    plus: str | None
    suppression: Suppression
    moves: Moves
    drop_out_fraction: Band | None = None
    body_frame: str | None = None
    body_ohm: Band | None = None
    plunger: Plunger | None = None

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part; its body is none."""
        return ("1", "2") if self.body_frame is None else ("1",)

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return 1
