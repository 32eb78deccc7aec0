"""Pull and hold coil: a strong winding that pulls in, a weak one that keeps."""

from __future__ import annotations

from typing import ClassVar

from circuitcheck.model.solenoid_coil import Moves, Suppression
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

CUT_OUTS = ("internal switch", "outside timer", "none", "unknown")


@record
class PullHoldCoil:
    """Two windings on one plunger; both start at their own terminal and end at `common`.

    `cut_out` is what takes the pull winding off once the plunger is in, one of CUT_OUTS. With an
    internal switch both windings start at `hold` and there is no terminal `pull`. With `none`
    (or `unknown`) the pull winding stays on as long as its feed does. `longest_pull_s` is how
    long the pull winding stands being on, None where not known. `pull_time_s` is how long an
    outside timer leaves it on, None where not known.

    `pull_in_fraction` of `rated_v` must move the plunger with both windings on, `hold_fraction`
    must keep it with the hold winding alone, below `drop_out_fraction` it must let go;
    `highest_fraction` is the most it may see. All for windings at running temperature in
    `rated_ambient_c`. `duty` is for the hold winding. `plus` is `pull and hold` or `common`, None
    where either may be positive. `suppression` sits between `hold` and `common`, with its cathode
    on one of them. Thermal figures are those of the hold winding.
    """

    kind: ClassVar[str] = "pull and hold coil"
    name: str
    zone: str
    rated_v: float
    pull_20c_ohm: Band
    hold_20c_ohm: Band
    cut_out: str
    longest_pull_s: float | None
    pull_in_fraction: float | None
    hold_fraction: float | None
    highest_fraction: float | None
    drop_out_fraction: Band | None
    rated_ambient_c: float
    duty: float | None
    thermal_resistance_k_per_w: Band | None
    thermal_time_constant_s: Band | None
    temperature_limit_c: float | None
    inductance_h: Band | None
    plus: str | None
    suppression: Suppression
    moves: Moves
    pull_time_s: Band | None = None

    @property
    def cuts_out(self) -> bool:
        """Whether something is known to take the pull winding off."""
        return self.cut_out in ("internal switch", "outside timer")

    @property
    def pull_terminal(self) -> str:
        """Terminal at which the pull winding starts."""
        return "hold" if self.cut_out == "internal switch" else "pull"

    @property
    def terminals(self) -> tuple[str, ...]:
        """Terminal names of the part."""
        return tuple(dict.fromkeys((self.pull_terminal, "hold", "common")))

    def wires_allowed(self, terminal: str) -> int | None:
        """Return how many wires a terminal takes; None where there is no fixed number."""
        return 1
