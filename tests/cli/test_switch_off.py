"""The command switch-off: text for any width, JSON, pictures, numbers by hand."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from circuitcheck.cli import main as cli

EXAMPLES = Path(__file__).parents[2] / "examples"
SPREADER = str(EXAMPLES / "salt_spreader_relay_lamp" / "harness.toml")
DRILL = str(EXAMPLES / "seed_drill_tramline_release" / "harness.toml")
SWEEPER = str(EXAMPLES / "road_sweeper_24v" / "harness.toml")


@pytest.fixture
def run(capsys, monkeypatch):
    def call(*arguments: str, columns: int = 80) -> tuple[int, str, str]:
        monkeypatch.setenv("COLUMNS", str(columns))
        with pytest.raises(SystemExit) as leaving:
            cli.main(("switch-off", *arguments))
        shown = capsys.readouterr()
        return int(leaving.value.code or 0), shown.out, shown.err

    return call


@pytest.mark.parametrize("columns", [40, 72, 80])
@pytest.mark.parametrize("file", [SPREADER, SWEEPER])
def test_text_fits_and_says_what_matters(run, file: str, columns: int) -> None:
    code, out, _ = run(file, columns=columns)
    assert code == 0
    assert max(len(line) for line in out.splitlines()) <= columns
    plain = " ".join(out.split())
    for words in ("diode (fitted)", "Zener", "resistor", "TVS", "beyond this model", "Pick: keep",
                  "No open measurement", "pressure released"):  # fmt: skip
        assert words in plain


def test_the_figures_agree_with_the_closed_form(run) -> None:
    code, out, _ = run(SPREADER, "--coil", "YL", "--json")
    assert code == 0
    (coil,) = json.loads(out)["coils"]
    assert coil["energy_j"] == pytest.approx(0.1 * coil["current_a"] ** 2 / 2.0)  # 100 mH at most
    by_kind = {choice["kind"]: choice for choice in coil["choices"]}
    diode = by_kind["diode"]
    assert diode["contact_peak_v"] - diode["coil_peak_v"] == pytest.approx(14.9)
    assert diode["times_diode"] == pytest.approx(1.0)
    # large valve coil: 4.5 ohm at 20 degC and -10 degC air, lets go below 10 % of 12 V when warm
    ohm = 4.5 * (234.5 - 10.0) / 254.5
    least_a = coil["current_a"] * (0.0 + 1.0)
    slowest = 0.1 / ohm * math.log((least_a * ohm + 0.4) / (0.19294 * ohm + 0.4))
    assert diode["release_s"]["max"] == pytest.approx(slowest, rel=1e-3)
    for kind, choice in by_kind.items():
        if kind != "diode":
            assert choice["release_s"]["max"] < 0.3 * diode["release_s"]["max"]
            assert choice["coil_peak_v"] > 20.0 * diode["coil_peak_v"]


def test_each_choice_is_told_once(run) -> None:
    _, out, _ = run(SPREADER, "--coil", "K1", "--json")
    names = [choice["name"] for choice in json.loads(out)["coils"][0]["choices"]]
    assert len(names) == len(set(names)) == 4


def test_an_unknown_coil_is_answered_with_those_there_are(run) -> None:
    code, out, err = run(SPREADER, "--coil", "YX")
    assert (code, out) == (2, "")
    assert "K1, YL" in err


@pytest.mark.parametrize("ending", ["svg", "png"])
def test_a_picture(run, tmp_path, ending: str) -> None:
    target = tmp_path / f"release.{ending}"
    code, _, _ = run(SPREADER, "--coil", "YL", "--plot", str(target))
    assert code == 0
    assert target.stat().st_size > 5_000
    if ending == "svg":
        drawn = target.read_text(encoding="utf-8")
        for words in ("YL switched off", "lets go below", "diode: 13 ms (fitted)"):
            assert words in drawn


def test_two_runs_draw_the_same(run, tmp_path) -> None:
    for name in ("a.svg", "b.svg"):
        run(SPREADER, "--plot", str(tmp_path / name))
    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()


def test_a_longest_release_picks_what_is_quick_enough(run, tmp_path) -> None:
    text = Path(SPREADER).read_text(encoding="utf-8")
    quick = tmp_path / "harness.toml"
    # K1 opens up to 37.9 ms after the button: 17 ms are left
    quick.write_text(text.replace("[use]", '[use]\nlongest_release = "55 ms"', 1), encoding="utf-8")
    code, out, _ = run(str(quick), "--coil", "YL", "--json")
    (coil,) = json.loads(out)["coils"]
    assert code == 0
    assert "diode + Zener" in coil["advice"]
    fitted = next(choice for choice in coil["choices"] if choice["fitted"])
    assert any("slower than" in reason for reason in fitted["against"])


def test_the_key_makes_a_quick_coil_as_slow_as_its_neighbour(run) -> None:
    # YL has a diode, YR a resistor: with the feed open ahead of both, YR's current takes the diode
    code, out, _ = run(DRILL, "--json")
    assert code == 0
    found = json.loads(out)
    (several,) = found["released_together"]
    slow, quick = several["coils"]
    assert (slow["coil"], quick["coil"]) == ("YL", "YR")
    alone = {
        coil["coil"]: next(c for c in coil["choices"] if c["fitted"])["release_s"]["nominal"]
        for coil in found["coils"]
    }
    assert alone["YR"] < 0.2 * alone["YL"]
    assert slow["release_s"] == pytest.approx(alone["YL"], rel=0.02)
    assert quick["release_s"] > 0.9 * slow["release_s"]
    assert quick["coil_peak_v"] < 2.0
    code, out, _ = run(DRILL, columns=40)
    assert "The key turned off with these on together" in " ".join(out.split())


def test_coils_suppressed_alike_are_not_told_together(run) -> None:
    _, out, _ = run(SWEEPER, "--json")
    assert json.loads(out)["released_together"] == []


def test_a_coil_behind_a_converter_lives_on_its_output(run) -> None:
    # 24 V to 12 V converter of 13.4 V, 3 % more at most: the contact sees that, and no load dump
    file = str(Path(__file__).parents[1] / "harnesses" / "good" / "trailer_converter_24v.toml")
    _, out, _ = run(file, "--coil", "VL", "--json")
    (coil,) = json.loads(out)["coils"]
    assert coil["supply_v"] == pytest.approx(1.03 * 13.4)
    # its own pair has a 1 A diode for 2.4 A: one with a larger diode stands beside it
    names = [choice["name"] for choice in coil["choices"]]
    assert len(names) == len(set(names)) == 5
    assert "with a 3 A diode" in names[2]
    tvs = next(choice for choice in coil["choices"] if choice["kind"] == "bidirectional TVS")
    assert tvs["against"] == []


def test_only_what_a_quicker_one_beats_is_where_nobody_minds_the_time(run) -> None:
    # of the spreader's choices the diode is the slowest; the conveyor's resistor lets go at once
    _, out, _ = run(SPREADER, "--coil", "YL", "--json")
    (coil,) = json.loads(out)["coils"]
    assert "where nobody minds the time. Where it must let go sooner" in coil["advice"]
    conveyor = str(EXAMPLES / "grain_conveyor_far_gate" / "harness.toml")
    _, out, _ = run(conveyor, "--json")
    quick = [coil["advice"] for coil in json.loads(out)["coils"] if "resistor" in coil["advice"]]
    assert quick
    assert not any("minds the time" in advice for advice in quick)


def test_a_slow_coil_is_told_in_seconds(run, tmp_path) -> None:
    text = Path(SPREADER).read_text(encoding="utf-8")
    slow = tmp_path / "harness.toml"
    changed = text.replace("[part.YL]\n", '[part.YL]\ninductance = "60 H"\n', 1)
    assert changed != text
    slow.write_text(changed, encoding="utf-8")
    code, out, _ = run(str(slow), "--coil", "YL")
    assert code == 0
    line = next(line for line in out.splitlines() if "diode (fitted)" in line)
    assert " s " in line
    assert "ms" not in line


def test_a_resistor_burns_while_the_coil_is_on_and_little_on_average(run) -> None:
    # 5 s thirty times an hour: on for 1/24 of the time
    rake = str(EXAMPLES / "hay_rake_wrong_fuse" / "harness.toml")
    _, out, _ = run(rake, "--json")
    for coil in json.loads(out)["coils"]:
        one = next(choice for choice in coil["choices"] if choice["kind"] == "resistor")
        switched_w = one["energy_j"] * 30.0 / 3600.0
        assert one["average_power_w"] == pytest.approx(one["power_while_on_w"] / 24.0 + switched_w)
        assert one["power_while_on_w"] > 2.0
    _, out, _ = run(rake)
    assert "W while the coil is on" in " ".join(out.split())


ORCHARD = EXAMPLES / "orchard_sprayer" / "harness.toml"
DIODE = '{ kind = "diode", cathode = "1", reverse = "400 V", forward = "3 A" }'


def orchard(tmp_path, diode: str) -> str:
    text = ORCHARD.read_text(encoding="utf-8")
    assert text.count(DIODE) == 2
    path = tmp_path / "harness.toml"
    path.write_text(text.replace(DIODE, diode), encoding="utf-8")
    return str(path)


def first_coil(run, path: str) -> dict:
    code, out, _ = run(path, "--json")
    assert code == 0
    return json.loads(out)["coils"][0]


def test_a_fitted_diode_too_small_is_not_kept(run, tmp_path) -> None:
    # ISO 16750-2: a clamped load dump of 35 V; the coil carries 2.06 A
    small = DIODE.replace("400 V", "20 V").replace("3 A", "0.5 A")
    coil = first_coil(run, orchard(tmp_path, small))
    fitted, larger = coil["choices"][0], coil["choices"][1]
    assert fitted["fitted"]
    assert fitted["against"] == [
        "its diode is rated 500 mA, 2.06 A go through it",
        "its diode blocks 20 V, it has to block 35 V",
    ]
    assert (larger["kind"], larger["against"]) == ("diode", [])
    assert coil["advice"].startswith("take the diode of 3 A")


@pytest.mark.parametrize(("given", "missing"), [
    (', forward = "3 A"', ["reverse voltage"]), (', reverse = "400 V"', ["rated current"]),
])  # fmt: skip
def test_a_rating_that_is_not_given_is_asked_for(run, tmp_path, given, missing) -> None:
    coil = first_coil(run, orchard(tmp_path, f'{{ kind = "diode", cathode = "1"{given} }}'))
    assert coil["choices"][0]["not_given"] == missing
    assert f"Not given: its {missing[0]}; look." in coil["advice"]
    assert "it suits" not in coil["advice"]


@pytest.mark.parametrize("kind", ["diode", "diode + Zener"])
def test_nothing_is_compared_beside_a_diode_the_wrong_way_round(run, tmp_path, kind) -> None:
    turned = DIODE.replace('cathode = "1"', 'cathode = "2"').replace('"diode"', f'"{kind}"')
    path = orchard(tmp_path, turned)
    coil = first_coil(run, path)
    assert (coil["wrong_way_round"], coil["choices"], coil["current_a"]) == (True, [], None)
    assert coil["advice"].startswith(f"turn the {kind} round, its ring (cathode) to terminal 1")
    _, out, _ = run(path)
    assert "THE WRONG WAY ROUND" in out
    code, _, err = run(path, "--coil", "VL", "--plot", str(tmp_path / "a.svg"))
    assert code == 2
    assert "turn the" in err


def test_which_way_round_is_asked_for_where_the_file_does_not_say(run, tmp_path) -> None:
    open_way = DIODE.replace('cathode = "1"', 'cathode = "unknown"')
    path = Path(orchard(tmp_path, open_way))
    marked = first_coil(run, str(path))
    assert marked["choices"][0]["not_given"] == []  # the coil's + mark tells
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('polarity = { plus = "1" }', ""), encoding="utf-8")
    coil = first_coil(run, str(path))
    assert coil["choices"][0]["not_given"] == ["way round"]


def test_a_zener_pair_beyond_its_printed_clamp_is_an_estimate(run, tmp_path) -> None:
    """Row: 5 W Zener of 24 V beside a 1 A diode, clamp at 1 A; pulse 100 W for 8.3 ms."""
    coil = first_coil(run, str(ORCHARD))
    pair = next(one for one in coil["choices"] if one["kind"] == "diode + Zener")
    assert 1.0 < coil["current_a"] < 3.0
    assert pair["name"].endswith("with a 3 A diode")
    assert pair["peak_drawn_on_from_a"] == 1.0
    assert "the row is from memory" in pair["notes"][0]
    assert "about" in coil["advice"]
    _, out, _ = run(str(ORCHARD))
    assert f"~{pair['coil_peak_v']:.1f} V" in out
    text = ORCHARD.read_text(encoding="utf-8")
    row = 'type = "small valve coil, 12 V"'
    assert text.count(row) == 2
    strong = tmp_path / "harness.toml"
    strong.write_text(text.replace(row, f'{row}\nresistance = "1.5 ohm"'), encoding="utf-8")
    coil = first_coil(run, str(strong))
    pair = next(one for one in coil["choices"] if one["kind"] == "diode + Zener")
    assert coil["current_a"] > 100.0 / 24.0
    assert pair["coil_peak_v"] is None
    assert any("beyond the 4.02 A of its single pulse" in reason for reason in pair["against"])


def test_a_relay_opens_before_its_coil(run, tmp_path) -> None:
    _, out, _ = run(SPREADER, "--json")
    relay, valve = json.loads(out)["coils"]
    (diode, *_) = relay["choices"]
    assert (relay["relays_before"], valve["relays_before"]) == ([], ["K1"])
    assert valve["relays_before_s"] == pytest.approx(diode["release_s"]["max"])
    both_s = valve["choices"][0]["release_s"]["max"] + valve["relays_before_s"]
    assert f"{1e3 * both_s:.3g} ms with K1 before it" in valve["advice"]
    text = Path(SPREADER).read_text(encoding="utf-8")
    slow = tmp_path / "harness.toml"
    slow.write_text(text.replace("[use]", '[use]\nlongest_release = "70 ms"', 1), encoding="utf-8")
    _, out, _ = run(str(slow), "--coil", "YL", "--json")
    (valve,) = json.loads(out)["coils"]
    assert any("of K1 slower than the 70 ms" in reason for reason in valve["choices"][0]["against"])
    assert "opens first" in " ".join(run(str(slow))[1].split())
