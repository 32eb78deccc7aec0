"""Parts of every kind for the drawing tests; values are invented for the picture's sake."""

from __future__ import annotations

from sample_harnesses import ONE

from circuitcheck.model.converter import Converter
from circuitcheck.model.diode import Diode
from circuitcheck.model.indicator import IndicatorLamp, LedIndicator
from circuitcheck.model.pull_hold_coil import PullHoldCoil
from circuitcheck.model.relay import Relay
from circuitcheck.model.resistor import Resistor
from circuitcheck.model.solenoid_coil import Moves, Suppression
from circuitcheck.model.switch import SwitchContact, SwitchHandle
from circuitcheck.model.tolerance_band import Band

NONE = Suppression("none")


def relay(
    name: str,
    contacts: str = "make",
    *,
    kind: str = "relay",
    suppression: Suppression = NONE,
    plus: str | None = None,
    body_frame: str | None = None,
) -> Relay:
    return Relay(
        name=name,
        zone="cab",
        kind=kind,
        rated_v=12.0,
        resistance_20c_ohm=Band(80.0, 90.0, 100.0),
        pull_in_v=7.2,
        drop_out_v=1.2,
        highest_v=16.0,
        coil_at_c=20.0,
        temperature_limit_c=None,
        thermal_resistance_k_per_w=None,
        contacts=contacts,
        make_ohm=ONE if contacts != "break" else None,
        break_ohm=ONE if contacts != "make" else None,
        ratings=(),
        break_ratings=(),
        making_limit_a=None,
        break_making_limit_a=None,
        least_current_a=None,
        suppression=suppression,
        plus=plus,
        body_frame=body_frame,
        body_ohm=ONE if body_frame else None,
    )


def lamp(name: str) -> IndicatorLamp:
    return IndicatorLamp(name, "cab", 12.0, Band(0.08, 0.1, 0.12), Band(8.0, 10.0, 12.0))


def led(name: str, plus: str | None = "1", series_ohm: float = 470.0) -> LedIndicator:
    forward_v, series = Band(1.8, 2.0, 2.2), Band.exact(series_ohm)
    return LedIndicator(name, "cab", 12.0, forward_v, series, 5.0, plus)


def diode(name: str) -> Diode:
    return Diode(name, "cab", Band(0.6, 0.8, 1.1), 1.0, 400.0)


def resistor(name: str) -> Resistor:
    return Resistor(name, "cab", Band(950.0, 1000.0, 1050.0), 1.0)


def converter(name: str) -> Converter:
    output_v, exact = Band(13.0, 13.4, 13.8), Band.exact(0.01)
    return Converter(name, "cab", output_v, exact, 5.0, Band(0.8, 0.85, 0.9), exact, (20.0, 32.0))


def isolator(name: str) -> SwitchHandle:
    contact = SwitchContact(f"{name} off", "maintained", ("1", "2"), normally_closed=True)
    return SwitchHandle(name, "cab", (contact,), (), (), ONE, "isolator")


def pull_hold(
    name: str,
    cut_out: str = "outside timer",
    *,
    suppression: Suppression = NONE,
    plus: str | None = None,
) -> PullHoldCoil:
    return PullHoldCoil(
        name=name,
        zone="boom",
        rated_v=12.0,
        pull_20c_ohm=Band(0.35, 0.375, 0.4),
        hold_20c_ohm=Band(14.7, 15.5, 16.3),
        cut_out=cut_out,
        longest_pull_s=1.0,
        pull_in_fraction=0.75,
        hold_fraction=0.4,
        highest_fraction=1.1,
        drop_out_fraction=None,
        rated_ambient_c=20.0,
        duty=1.0,
        thermal_resistance_k_per_w=None,
        thermal_time_constant_s=None,
        temperature_limit_c=None,
        inductance_h=None,
        plus=plus,
        suppression=suppression,
        moves=Moves("stop lever", "", "lets the engine run", "none"),
    )
