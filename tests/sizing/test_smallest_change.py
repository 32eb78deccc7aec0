"""The change proposed: it passes, it harms nothing, the step before it is not enough."""

from __future__ import annotations

import dataclasses
import itertools
import re
from pathlib import Path

import pytest

from circuitcheck import open_case, read_harness, read_library, run_checks
from circuitcheck.checks.finding import FAIL, PASS, Finding
from circuitcheck.checks.register import CHECKS
from circuitcheck.documents.verdict.remedy_text import remedy_text, with_fixes
from circuitcheck.model.harness import Harness
from circuitcheck.model.solenoid_coil import Suppression
from circuitcheck.model.terminal import Terminal
from circuitcheck.model.tolerance_band import Band
from circuitcheck.sizing import trials
from circuitcheck.sizing.change import Change, with_part, with_wires
from circuitcheck.sizing.kinds import KINDS, ladders_for
from circuitcheck.sizing.on_the_way import wires_by_drop
from circuitcheck.sizing.remedy import Key, Remedy, key_of
from circuitcheck.sizing.smallest_change import smallest_changes

EXAMPLES = Path(__file__).parents[2] / "examples"
RANK = {PASS: 0, "not judged": 1, FAIL: 2}


@pytest.fixture(scope="module")
def library():
    return read_library()


@pytest.fixture(scope="module")
def sprayer(library):
    return read_harness(EXAMPLES / "orchard_sprayer" / "harness.toml", library)


def judged(harness: Harness, library) -> dict[Key, Finding]:
    found: dict[Key, Finding] = {}
    for finding in run_checks(open_case(harness, library)):
        key = key_of(finding)
        if key not in found or RANK[finding.result] > RANK[found[key].result]:
            found[key] = finding
    return found


def remedies(harness: Harness, library, **options) -> dict[Key, Remedy]:
    case = open_case(harness, library)
    return dict(smallest_changes(case, run_checks(case), CHECKS, **options))


def bare(finding: Finding) -> Finding:
    """A finding without how far its bound may stand off, which trials do not work out."""
    return dataclasses.replace(finding, gap=0.0, working=None)


def of_check(found: dict[Key, Remedy], check: str) -> list[Remedy]:
    return [remedy for key, remedy in found.items() if key[0] == check]


def with_wire(harness: Harness, name: str, **changed) -> Harness:
    return with_wires(harness, [dataclasses.replace(harness.wires[name], **changed)])


@pytest.fixture(scope="module")
def thin(sprayer, library):
    """The sprayer with two of its longest wires in 22 AWG."""
    row = library.conductor("22 AWG")
    return with_wires(
        sprayer,
        [
            dataclasses.replace(sprayer.wires[name], gauge="22 AWG", conductor=row)
            for name in ("W3", "W10")
        ],
    )


@pytest.fixture(scope="module")
def thin_remedies(thin, library):
    return remedies(thin, library, most_trials=400)


def test_a_circuit_that_passes_needs_no_change(sprayer, library):
    assert remedies(sprayer, library) == {}


def test_the_change_passes_and_harms_nothing(thin, thin_remedies, library):
    before = judged(thin, library)
    assert any(remedy.change for remedy in thin_remedies.values())
    for key, remedy in thin_remedies.items():
        assert before[key].result == FAIL
        if remedy.change is None:
            continue
        after = judged(remedy.change.harness, library)
        assert after[key].result == PASS
        assert bare(remedy.after) == bare(after[key])
        worse = [
            k for k, f in after.items() if k in before and RANK[f.result] > RANK[before[k].result]
        ]
        assert worse == []


def is_refused(change: Change, key: Key, before: dict[Key, Finding], library) -> bool:
    """Whether a change leaves its finding failing, or makes another one worse."""
    after = judged(change.harness, library)
    worse = [k for k, f in after.items() if k in before and RANK[f.result] > RANK[before[k].result]]
    return after[key].result == FAIL or bool(worse)


@pytest.fixture(scope="module")
def even(sprayer, library):
    """The sprayer with its wires so long that each loses about 0.18 V: 0.2 V are allowed."""
    drop_v = {
        f.subject: f.value
        for f in judged(sprayer, library).values()
        if f.check == "drop of each element" and f.subject in sprayer.wires
    }
    longer = [
        dataclasses.replace(wire, length_m=Band.exact(wire.length_m.nominal * 0.18 / drop_v[name]))
        for name, wire in sprayer.wires.items()
        if name not in ("W1", "W11")
    ]
    return with_wires(sprayer, longer)


@pytest.mark.parametrize("given", ["thin", "even"])
def test_neither_the_step_before_nor_fewer_wires_are_enough(given, library, request):
    harness = request.getfixturevalue(given)
    case, before, looked_at = open_case(harness, library), judged(harness, library), set()
    for key, remedy in remedies(harness, library, most_trials=400).items():
        words = remedy.change.words if remedy.change else ""
        # A change may be taken for a milder finding too: only the one it was found for counts.
        for growing in ladders_for(case, before[key]) if words not in looked_at else ():
            for narrower, ladder in itertools.pairwise((None, *growing.ladders)):
                names = [step.words for step in ladder.steps]
                if words in names[1:]:
                    milder = ladder.steps[names.index(words) - 1]
                    assert is_refused(milder, key, before, library)
                if words in names:
                    if narrower is not None:
                        assert is_refused(narrower.steps[-1], key, before, library)
                    # A wider ladder begins with steps that leave its further wires as they are.
                    break
        looked_at.add(words)
    assert looked_at - {""}
    if given == "even":
        assert any(" and " in words.split(" in ")[0] for words in looked_at)


def test_wires_are_taken_in_by_their_drop(thin, library):
    case = open_case(thin, library)
    drop = next(f for f in run_checks(case) if f.check == "voltage drop" and f.result == FAIL)
    solved = case.solution.of(drop.position, drop.coil_state)
    wires = wires_by_drop(case, drop)
    volts = [abs(solved.across_v(wire.name).nominal) for wire in wires]
    assert len(wires) > 4
    assert volts == sorted(volts, reverse=True)
    growing = next(iter(ladders_for(case, drop)))
    assert growing.ladders[0].tried == f"{wires[0].name} larger"
    assert len(growing.ladders) == len(wires)


def test_a_larger_wire_brings_the_contacts_that_take_it(sprayer, library):
    # 6.3 mm sealed contacts take up to 6 mm2, 2.8 mm ones up to 2.5 mm2 (library/contacts.csv).
    long = with_wire(sprayer, "W5", length_m=Band.exact(12.0))
    found = of_check(remedies(long, library), "drop of each element")
    wire = next(r for r in found if r.change and "W5 in " in r.change.words)
    area = wire.change.harness.wires["W5"].conductor.area_mm2
    contact = wire.change.harness.parts["X1"].contact
    assert contact.area_min_mm2 <= area <= contact.area_max_mm2
    if contact.name != sprayer.parts["X1"].contact.name:
        assert f"X1 with {contact.name} contacts" in wire.change.words


@pytest.fixture(scope="module")
def large_fuse(sprayer, library):
    row = library.fuse("blade", 40.0)
    return with_part(
        sprayer,
        dataclasses.replace(sprayer.parts["F1"], row=row, element_ohm=row.resistance_ohm),
    )


def test_too_large_a_fuse_is_made_smaller_and_no_more_than_needed(large_fuse, library):
    # Half of the machine's 20 A fuse is 10 A (common practice, no source).
    found = of_check(remedies(large_fuse, library), "selectivity of fuses in series")
    assert [remedy.change.words for remedy in found] == ["F1 as 10 A fuse (was 40 A)"]
    assert found[0].change.harness.parts["F1"].row.rating_a == 10.0


def test_a_fuse_far_from_the_tap_is_moved_and_no_wire_is_lost(sprayer, library):
    # a machine's fuse of 40 A does not protect W1, so that its length counts
    tap, large = sprayer.parts["TAP"], library.fuse("blade", 40.0)
    loose = dataclasses.replace(tap, upstream=dataclasses.replace(tap.upstream, fuse=large))
    far = with_wire(with_part(sprayer, loose), "W1", length_m=Band.exact(3.0), sheathed=False)
    found = of_check(remedies(far, library), "fuse near source")
    moved = next(remedy.change for remedy in found if remedy.change)
    assert "F1 within 0.17 m of the tap" in moved.words
    length = {name: wire.length_m.upper for name, wire in moved.harness.wires.items()}
    assert length["W1"] + length["W2"] == pytest.approx(3.0 + far.wires["W2"].length_m.upper)


def test_a_coil_without_suppression_gets_a_diode_the_right_way_round(sprayer, library):
    coil = sprayer.parts["VL"]
    bare = with_part(sprayer, dataclasses.replace(coil, suppression=Suppression("none")))
    found = of_check(remedies(bare, library), "suppression")
    diode = next(remedy.change for remedy in found if remedy.change)
    assert "a diode of 400 V" in diode.words
    assert diode.harness.parts["VL"].suppression.cathode == "1"


def test_a_diode_the_wrong_way_round_is_turned(sprayer, library):
    coil = sprayer.parts["VL"]
    wrong = dataclasses.replace(coil.suppression, cathode="2")
    turned = with_part(sprayer, dataclasses.replace(coil, suppression=wrong))
    # The diode shorts the feed: dozens of findings fail, and one change cures them all.
    found = remedies(turned, library)
    assert len(found) > 10
    words = {remedy.change.words if remedy.change else None for remedy in found.values()}
    assert words == {"the diode of VL turned round: its ring to terminal 1"}


def turned(harness: Harness, *coils: str) -> Harness:
    for name in coils:
        coil = harness.parts[name]
        wrong = dataclasses.replace(coil.suppression, cathode="2")
        harness = with_part(harness, dataclasses.replace(coil, suppression=wrong))
    return harness


def test_what_follows_from_two_faults_passes_once_both_are_put_right(sprayer, library):
    both = turned(sprayer, "VL", "VR")
    found = remedies(both, library)
    faults = {("suppression", "VL", "polarity"), ("suppression", "VR", "polarity")}
    assert {key for key, remedy in found.items() if remedy.is_at_fault} == faults
    following = {key: remedy for key, remedy in found.items() if remedy.follows}
    assert len(following) > 20
    for remedy in following.values():
        assert set(remedy.follows) == faults
    # Nothing failed in the sprayer before its diodes were turned: all that fails now follows.
    failing = {key for key, finding in judged(both, library).items() if finding.result == FAIL}
    assert failing == set(following) | faults


def test_what_fails_beside_a_fault_gets_a_change_of_its_own(large_fuse, library):
    found = remedies(turned(large_fuse, "VL"), library)
    selectivity = of_check(found, "selectivity of fuses in series")
    assert [(remedy.change.words, remedy.follows) for remedy in selectivity] == [
        (
            "the diode of VL turned round: its ring to terminal 1; then F1 as 10 A fuse (was 40 A)",
            (),
        )
    ]
    changed = selectivity[0].change.harness.parts
    assert changed["F1"].row.rating_a == 10.0
    assert changed["VL"].suppression.cathode == "1"


def test_a_missing_suppressor_is_no_reason_for_anything_else(large_fuse, library):
    coil = large_fuse.parts["VL"]
    bare = with_part(large_fuse, dataclasses.replace(coil, suppression=Suppression("none")))
    found = remedies(bare, library)
    assert not any(remedy.is_at_fault or remedy.follows for remedy in found.values())
    assert "F1 as 10 A fuse (was 40 A)" in {r.change.words for r in found.values() if r.change}


def test_a_wire_that_shorts_the_feed_is_taken_out_and_what_fails_by_it_follows(sprayer, library):
    feed, minus = Terminal("GRIP", "feed"), Terminal("BAT", "-")
    extra = dataclasses.replace(sprayer.wires["W2"], name="W99", start=feed, end=minus)
    shorted = dataclasses.replace(sprayer, wires={**sprayer.wires, "W99": extra})
    found = remedies(shorted, library)
    (short,) = (remedy for key, remedy in found.items() if key[2].startswith("short circuit:"))
    assert short.change.words == "W99 taken out"
    assert dict(short.change.harness.wires) == dict(sprayer.wires)
    assert len(found) > 10
    assert all(remedy.is_at_fault or remedy.follows for remedy in found.values())


def test_two_coils_at_once_beyond_a_contact_call_for_an_interlock_or_a_larger_contact(
    sprayer, library
):
    contact = dataclasses.replace(sprayer.parts["X1"].contact, rated_current_a=3.5)
    weak = with_part(sprayer, dataclasses.replace(sprayer.parts["X1"], contact=contact))
    found = of_check(remedies(weak, library), "connector rating")
    assert found
    assert all(remedy.change is not None for remedy in found)
    assert all(
        "contacts" in remedy.change.words or "interlock" in remedy.change.words for remedy in found
    )


def test_what_was_tried_in_vain_is_said(sprayer, library):
    weak = dataclasses.replace(
        sprayer, conditions=dataclasses.replace(sprayer.conditions, engine_off_v=(8.0, 12.8))
    )
    found = of_check(remedies(weak, library), "coil pull-in")
    assert found
    for remedy in found:
        assert remedy.change is None
        text = remedy_text(remedy)
        assert re.match(r"no single change tried helps: (all \d+ wires larger, )+GRIP with a", text)


def test_trials_are_bounded_and_the_report_says_when_they_run_out(thin, library):
    found = remedies(thin, library, most_trials=1)
    cut = [remedy for remedy in found.values() if not remedy.complete]
    assert cut
    for remedy in cut:
        assert remedy.change is None
        assert "not all changes could be tried" in remedy_text(remedy)


def test_the_same_file_gives_the_same_changes(thin, library):
    shown = [
        {key: remedy_text(remedy) for key, remedy in remedies(thin, library).items()}
        for _ in range(2)
    ]
    assert shown[0] == shown[1]


def test_the_fix_goes_to_failures_only(thin, library, thin_remedies):
    findings = run_checks(open_case(thin, library))
    fixed = with_fixes(findings, thin_remedies)
    assert [f for f in fixed if f.result != FAIL] == [f for f in findings if f.result != FAIL]
    for finding in fixed:
        if finding.result == FAIL and key_of(finding) in thin_remedies:
            assert remedy_text(thin_remedies[key_of(finding)]) in finding.fix


def test_a_figure_after_a_change_is_of_the_findings_own_quantity(library):
    """Power of a resistor [W]; the diode and Zener in its place is judged by energy [J]."""
    harness = read_harness(EXAMPLES / "seed_drill_tramline_release" / "harness.toml", library)
    case = open_case(harness, library)
    findings = run_checks(case)
    found = smallest_changes(case, findings, CHECKS)
    fixes = {(f.check, f.subject): f for f in with_fixes(findings, found) if f.result == FAIL}
    power, release = fixes["suppressor in repeated use", "YR"], fixes["release time", "YL"]
    assert (power.quantity, power.unit) == ("most power of the resistor over a short time", "W")
    assert found[key_of(power)].after.unit == "J"
    assert power.fix == found[key_of(power)].change.words
    assert re.search(r": then [\d.]+ ms$", release.fix)


def test_the_harness_that_was_given_is_left_as_it_was(thin, library):
    wires, parts = dict(thin.wires), dict(thin.parts)
    remedies(thin, library)
    assert dict(thin.wires) == wires
    assert dict(thin.parts) == parts


def test_a_relay_that_does_not_pull_in_gets_larger_wires_of_its_own_coil(library):
    given = read_harness(EXAMPLES / "salt_spreader_relay_lamp" / "harness.toml", library)
    relay, row = given.parts["K1"], library.conductor("18 AWG")
    weak = with_part(given, dataclasses.replace(relay, pull_in_v=1.1 * relay.pull_in_v))
    longer = [
        dataclasses.replace(weak.wires[name], gauge=row.name, conductor=row, length_m=Band.exact(m))
        for name, m in (("W4", 20.0), ("W12", 12.0))
    ]
    long = with_wires(weak, longer)
    before = judged(long, library)
    failing = [key for key, finding in before.items() if finding.result == FAIL]
    assert [key[:2] for key in failing if key[0] == "relay coil"] == [("relay coil", "K1")]
    (remedy,) = of_check(remedies(long, library), "relay coil")
    # K1's coil is fed by W4 and returned by W12 alone; 12 AWG is the next but two.
    assert remedy.change.words.startswith("W4 and W12 in ")
    key = next(key for key in failing if key[0] == "relay coil")
    assert judged(remedy.change.harness, library)[key].result == PASS


def test_every_kind_of_change_belongs_to_a_check_that_exists():
    assert set(KINDS) <= {check.name for check in CHECKS}


def test_a_pull_winding_left_on_asks_for_a_timer(library):
    path = EXAMPLES / "wood_chipper_pull_hold" / "harness.toml"
    found = remedies(read_harness(path, library), library)
    timed = {key[0] for key, remedy in found.items() if "with a timer" in remedy_text(remedy)}
    assert timed == {"pull winding left on", "coil temperature"}


def test_a_coil_that_lets_go_too_slowly_gets_a_zener_beside_its_diode(sprayer, library):
    use = dataclasses.replace(sprayer.use, longest_release_s=0.025)
    found = of_check(remedies(dataclasses.replace(sprayer, use=use), library), "release time")
    change = next(remedy.change for remedy in found if remedy.change)
    new = change.harness.parts["VL"].suppression
    assert (new.kind, new.cathode, new.forward_a) == ("diode + Zener", "1", 3.0)  # 2.1 A pass over
    assert "instead of its diode" in change.words


@pytest.mark.parametrize("name", ["tipping_trailer_shared_return", "seed_drill_tramline_release"])
def test_which_check_is_looked_at_first_makes_no_difference(monkeypatch, library, name):
    harness = read_harness(EXAMPLES / name / "harness.toml", library)
    quick = remedies(harness, library)
    monkeypatch.setattr(trials, "READ_OFF", frozenset())
    monkeypatch.setattr(trials, "SOLVE_THEIR_OWN", frozenset())
    slow = remedies(harness, library)
    assert len(quick) > 2
    assert {key: (r.change and r.change.words, r.tried) for key, r in quick.items()} == {
        key: (r.change and r.change.words, r.tried) for key, r in slow.items()
    }


def test_checks_named_for_their_effort_exist():
    assert {check.name for check in CHECKS} >= trials.READ_OFF | trials.SOLVE_THEIR_OWN
    assert not trials.READ_OFF & trials.SOLVE_THEIR_OWN
