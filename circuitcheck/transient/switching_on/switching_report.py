"""Every action of a harness with its figures at both corners, the one to worry about first."""

from __future__ import annotations

from collections.abc import Sequence

from circuitcheck.model.harness import Harness
from circuitcheck.model.supply_tap import SupplyTap
from circuitcheck.record import record
from circuitcheck.solve.worst_case import Solution
from circuitcheck.transient.switching_on.actions import Action, actions
from circuitcheck.transient.switching_on.coil_states import HELD, ON
from circuitcheck.transient.switching_on.corners import STRONGEST, WEAKEST
from circuitcheck.transient.switching_on.switching_figures import (
    CoilFigures,
    FuseFigures,
    SwitchingFigures,
    switching_figures,
)
from circuitcheck.transient.switching_on.switching_on import Switching, SwitchingCircuits


@record
class ActionReport:
    """One action followed at both corners."""

    action: Action
    strongest: Switching
    weakest: Switching
    strongest_figures: SwitchingFigures
    weakest_figures: SwitchingFigures

    @property
    def heat_share(self) -> float:
        """How near any fuse comes to opening, 1 where one opens; 0 where that is not known."""
        shares = [(f.heat_share, f.repeated_share) for f in self.strongest_figures.fuses]
        return max((one or 0.0 for pair in shares for one in pair), default=0.0)

    @property
    def too_weak(self) -> tuple[CoilFigures, ...]:
        """The coils that at the weakest corner lack the current, the time or the force."""
        return tuple(
            coil
            for coil in self.weakest_figures.coils
            if coil.state == ON
            and (
                (coil.pull_in_a is not None and coil.reaches_s is None)
                or coil.is_left_out
                or coil.is_late
            )
        )

    @property
    def let_go(self) -> tuple[CoilFigures, ...]:
        """The coils already on that are not sure to stay in at the weakest corner."""
        return tuple(
            coil
            for coil in self.weakest_figures.coils
            if coil.state == HELD and coil.holds_a is not None and coil.lowest_a < coil.holds_a
        )


@record
class SwitchingReport:
    """The actions that were asked for, worst first; `idle` are those that change nothing.

    `switching_off` names the actions that were left out because they switch off.
    """

    solution: Solution
    reports: tuple[ActionReport, ...]
    idle: tuple[str, ...]
    switching_off: tuple[str, ...]

    @property
    def not_modelled(self) -> tuple[str, ...]:
        """What was left out in any of them, each once."""
        said = (
            words
            for report in self.reports
            for switching in (report.strongest, report.weakest)
            for words in switching.not_modelled
        )
        return tuple(dict.fromkeys(said))


def switching_report(solution: Solution, names: Sequence[str] = ()) -> SwitchingReport:
    """Return the report of all actions that switch on, or of those named.

    Raises KeyError for a name that no action has.
    """
    every = {action.name: action for action in actions(solution.harness)}
    circuits = SwitchingCircuits(solution)
    chosen = [every[name] for name in names] or [a for a in every.values() if a.switches_on]
    working = [action for action in chosen if names or circuits.changes(action)]
    followed = circuits.switch_on_all(working, (STRONGEST, WEAKEST))
    reports = [
        _report(solution, strongest, weakest)
        for strongest, weakest in zip(followed[::2], followed[1::2], strict=True)
    ]
    reports.sort(key=lambda one: (-len(one.let_go), -len(one.too_weak), -one.heat_share))
    return SwitchingReport(
        solution,
        tuple(reports),
        tuple(action.name for action in chosen if action not in working),
        () if names else tuple(a.name for a in every.values() if not a.switches_on),
    )


def _report(solution: Solution, strongest: Switching, weakest: Switching) -> ActionReport:
    return ActionReport(
        strongest.action,
        strongest,
        weakest,
        switching_figures(solution, strongest),
        switching_figures(solution, weakest),
    )


def fuse_name(harness: Harness, fuse: FuseFigures) -> str:
    """Return what a fuse is called: `F1 (7.5 A)`, `machine's fuse ahead of TAP (20 A)`."""
    size = f"{fuse.row.rating_a:g} A" if fuse.row else "size unknown"
    name = fuse.branch.removesuffix("/fuse")
    tap = harness.parts[name]
    if not isinstance(tap, SupplyTap):
        return f"{name} ({size})"
    if tap.upstream.fuse is None and tap.upstream.fuse_known:
        return f"machine's wire to {name}, no fuse ahead of it"
    return f"machine's fuse ahead of {name} ({size})"
