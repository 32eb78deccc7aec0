"""Records of the library rows of relays, lamps, diodes, sockets, switches, metals and joints."""

from __future__ import annotations

from circuitcheck.model.library_rows import Row
from circuitcheck.model.tolerance_band import Band
from circuitcheck.record import record

LOADS = ("DC resistive", "DC inductive", "lamp", "motor", "carrying")
SIDES = ("make", "break")


@record(kw_only=True)
class ContactRatingRow(Row):
    """One rating of a contact: it holds for this side, load, voltage and air, and no other.

    `group` is what relays and switches name to share ratings. The load `carrying` is current
    carried through the closed contact, at any voltage (None). `ambient_c` is None where the
    source gives no temperature of the air.
    """

    group: str
    side: str
    load: str
    voltage_v: float | None
    current_a: float
    ambient_c: float | None


@record(kw_only=True)
class RelayRow(Row):
    """One trade type of relay or contactor (`kind`).

    `resistance_20c_ohm` is the winding alone, without an internal resistor. `pull_in_v` works
    every one of the type, `drop_out_v` releases every one, both with the winding at `coil_at_c`.
    `temperature_limit_c` is the hottest its winding may get.
    `contacts` is `make`, `break` or `changeover`; the band of a contact it has not is None.
    `suppression` is `none`, `diode` or `resistor`, inside the relay. Ratings are those of the
    group. None stands for what no source says.
    """

    kind: str
    rated_v: float
    resistance_20c_ohm: Band
    coil_at_c: float
    pull_in_v: float
    drop_out_v: float
    highest_v: float | None
    thermal_resistance_k_per_w: Band | None
    temperature_limit_c: float | None
    contacts: str
    make_ohm: Band | None
    break_ohm: Band | None
    making_limit_a: float | None
    break_making_limit_a: float | None
    least_current_a: float | None
    suppression: str
    suppression_ohm: Band | None
    body_is_return: bool
    ratings: tuple[ContactRatingRow, ...]

    def ratings_of(self, side: str) -> tuple[ContactRatingRow, ...]:
        """Return the ratings of the make or of the break contact."""
        return tuple(rating for rating in self.ratings if rating.side == side)


@record(kw_only=True)
class PullHoldCoilRow(Row):
    """One coil with a strong winding that pulls and a weak one that holds, both at 20 degC.

    `cut_out` is what takes the pull winding off: `internal switch` or `outside timer`. It stands
    current for `longest_pull_s`. Fractions are of rated voltage; heat is that of holding.
    """

    rated_v: float
    pull_ohm: Band
    hold_ohm: Band
    longest_pull_s: float
    cut_out: str
    pull_in_fraction: float
    highest_voltage_fraction: float
    drop_out_fraction: Band
    thermal_resistance_k_per_w: Band
    thermal_time_constant_s: Band
    temperature_class_c: float


@record(kw_only=True)
class ConverterRow(Row):
    """One converter between system voltages; `idle_a` flows at its input without load."""

    input_v: float
    output_v: Band
    output_ohm: Band
    rated_a: float
    efficiency_fraction: Band
    idle_a: float


@record(kw_only=True)
class SwitchRow(Row):
    """One trade type of switch or isolator (`kind`); `contact` is the material of its contact."""

    kind: str
    contact_ohm: Band
    contact: str
    least_current_a: float | None
    ratings: tuple[ContactRatingRow, ...]


@record(kw_only=True)
class LampRow(Row):
    """One filament lamp for a 12 V or 24 V system.

    `current_a` flows at `rated_v`, the voltage at which the power is measured. `cold_ratio` is
    hot over cold resistance; current goes with (voltage / `rated_v`) ** `exponent`.
    """

    system_v: float
    rated_v: float
    power_w: float
    current_a: Band
    cold_ratio: Band
    exponent: float


@record(kw_only=True)
class LedRow(Row):
    """One LED indicator with its series resistor; `current_a` at the system's rated voltage."""

    system_v: float
    colour: str
    forward_v: Band
    series_ohm: Band
    current_a: Band
    reverse_v: float


@record(kw_only=True)
class DiodeRow(Row):
    """One silicon diode; `forward_v` from just conducting to its limit at `current_a`."""

    forward_v: Band
    current_a: float
    reverse_v: float
    surge_a: float | None


@record(kw_only=True)
class SuppressorRow(Row):
    """One device that limits the voltage of a coil at switch-off.

    `kind` is a kind of suppression. Below `standoff_v` it takes no current worth counting; at
    `clamp_a` it holds the voltage to `clamp_v`. `power_w` is its pulse power, 10/1000 us, of a
    Zener diode its power for good. `forward_a` is the rated current of a diode in series with it,
    None where there is none.
    """

    kind: str
    system_v: float
    standoff_v: float
    breakdown_v: Band
    clamp_v: float
    clamp_a: float
    power_w: float
    forward_a: float | None


@record(kw_only=True)
class SocketCavityRow(Row):
    """One contact of a socket whose plan a standard sets; empty or None where it sets nothing.

    `terminal` is a DIN 72552 number, `colours` are IEC 60757 codes of the wire. `size` is the
    conductor as the standard gives it, `returns_for` the cavities whose current comes back here.
    """

    socket: str
    cavity: int
    function: str
    terminal: str
    colours: tuple[str, ...]
    size: str
    returns_for: tuple[int, ...]


@record(kw_only=True)
class SocketRow(Row):
    """One trailer socket; `contact` names its contact family, `cavities` are in order."""

    system_v: float
    contact: str
    cavities: tuple[SocketCavityRow, ...]

    def cavity(self, number: int) -> SocketCavityRow:
        """Return a cavity by its number, from 1."""
        return self.cavities[number - 1]


@record(kw_only=True)
class MaterialRow(Row):
    """One conductor material against plain copper of the same area.

    `resistance_factor` at 20 degC; resistance goes with `zero_c` + temperature. `k_lead` is the
    leading factor of the adiabatic constant, in A s**0.5 / mm2.
    """

    resistance_factor: Band
    zero_c: float
    k_lead: float


@record(kw_only=True)
class FrameBondRow(Row):
    """What joins two frames (the name: bolts, strap, ...); resistance from new to aged."""

    resistance_ohm: Band


@record(kw_only=True)
class PlatingPairRow(Row):
    """Two platings that meet, and whether they may in a dry and in a wet zone.

    `difference_v` is that of their anodic indexes.
    """

    first: str
    second: str
    difference_v: float
    dry: bool
    wet: bool
