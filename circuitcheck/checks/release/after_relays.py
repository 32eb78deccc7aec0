"""A finding on a coil's release time, with what the relays ahead of the coil take before.

Shared ground of the check on release time; it judges nothing by itself.
"""

from __future__ import annotations

from dataclasses import replace

from circuitcheck.checks.finding import FAIL, NOT_JUDGED, PASS, Finding, Term, Working
from circuitcheck.checks.release.relay_lag import RelayLag
from circuitcheck.units import text

ASK = "how long {0} takes to open first is not known: write the release_time of {0}"
GUESSED = (
    "would fail as assumed: how long {0} takes to open first is not given. Measure it as it is "
    "fitted, or ask the maker, and write its release_time."
)


def after_relays(finding: Finding, lag: RelayLag, why: str) -> Finding:
    """Return a finding on a coil's own time with that of the relays on top.

    What passes by itself fails on stated times alone: on assumed ones it is not judged. `why` is
    the reason of such a failure.
    """
    own_s, longest_s, own = finding.value, finding.limit, finding.working
    if not lag.relays or own_s is None or longest_s is None or own is None:
        return finding
    result, reason, words = finding.result, finding.reason, (*finding.conditions, *lag.words)
    if lag.time_s is None:
        if result == PASS:
            result, reason = NOT_JUDGED, ASK.format(lag.unknown)
        return replace(finding, result=result, reason=reason, conditions=words)
    total_s = lag.time_s + own_s
    first = (
        f"{lag.names} alone holds its feed for up to {text(lag.time_s, 's')}: "
        f"{text(total_s, 's')} in all."
    )
    if result == FAIL:
        reason = f"{reason} {first}"
    elif result == PASS and total_s > longest_s:
        result = FAIL if lag.is_stated else NOT_JUDGED
        reason = f"{why if lag.is_stated else GUESSED.format(lag.names)} {first}"
    terms = (
        Term("t_k", lag.time_s, "s", f"longest until {lag.names} has opened"),
        Term("t", own_s, "s", "longest that its own current lasts"),
    )
    total = Term("t_s", total_s, "s", finding.quantity)
    return replace(
        finding, value=total_s, result=result, reason=reason, conditions=words,
        working=Working("t_k + t", terms, total, steps=(own,)),
    )  # fmt: skip
