"""The command switching: text for any width, JSON, pictures; hostile names stay text."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from circuitcheck.cli import main as cli

EXAMPLES = Path(__file__).parents[2] / "examples"
TRAILER = str(EXAMPLES / "tipping_trailer_shared_return" / "harness.toml")
ORCHARD = EXAMPLES / "orchard_sprayer" / "harness.toml"
CONVERTER = Path(__file__).parents[1] / "harnesses" / "good" / "trailer_converter_24v.toml"
CHIPPER = str(EXAMPLES / "wood_chipper_pull_hold" / "harness.toml")


@pytest.fixture
def run(capsys, monkeypatch):
    def call(*arguments: str, columns: int = 80) -> tuple[int, str, str]:
        monkeypatch.setenv("COLUMNS", str(columns))
        with pytest.raises(SystemExit) as leaving:
            cli.main(("switching", *arguments))
        shown = capsys.readouterr()
        return int(leaving.value.code or 0), shown.out, shown.err

    return call


@pytest.mark.parametrize("columns", [40, 80])
def test_text_fits_and_begins_with_the_worst(run, columns: int) -> None:
    code, out, _ = run(TRAILER, columns=columns)
    assert code == 0
    assert max(len(line) for line in out.splitlines()) <= columns
    plain = " ".join(out.split())
    assert plain.index("press SWL + SWT") < plain.index("press SWL the same")
    assert "at once" in plain
    assert "YT, already on: at lowest" in plain
    assert "No open measurement was found" in plain
    assert "the same: key on with" in plain


def test_one_action_alone(run) -> None:
    code, out, _ = run(TRAILER, "--action", "release SWT, SWL held")
    assert code == 0
    assert "release SWT, SWL held" in out
    assert "YT, switched off" in out
    assert "key on" not in out


def test_an_unknown_action_is_answered_with_those_there_are(run) -> None:
    code, out, err = run(TRAILER, "--action", "push it")
    assert (code, out) == (2, "")
    assert '"press SWT, SWL held"' in err


def test_json_has_both_corners_and_nulls_for_what_is_not_known(run) -> None:
    code, out, _ = run(CHIPPER, "--json")
    assert code == 0
    found = json.loads(out)
    press = next(one for one in found["actions"] if one["name"] == "press SW1")
    assert [corner["corner"] for corner in press["corners"]] == [
        "cold coils, highest supply",
        "hot coils, lowest supply",
    ]
    strong = press["corners"][0]
    fuse = next(one for one in strong["fuses"] if one["branch"] == "F1")
    assert fuse["rating_a"] == 30.0
    assert fuse["peak_a"] > 10.0
    coil = next(one for one in strong["coils"] if one["branch"] == "YC/pull")
    assert coil["pull_in_a"] is None
    assert coil["reaches_s"] is None
    assert any("inductance not known" in words for words in found["not_modelled"])


@pytest.mark.slow
@pytest.mark.parametrize("suffix", [".svg", ".pdf", ".png"])
def test_pictures_are_written_whole(run, tmp_path: Path, suffix: str) -> None:
    target = tmp_path / f"picture{suffix}"
    code, _, err = run(TRAILER, "--plot", str(target))
    assert (code, err) == (0, "")
    begins = {".svg": b"<?xml", ".pdf": b"%PDF", ".png": b"\x89PNG"}[suffix]
    assert target.read_bytes().startswith(begins)
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.slow
def test_names_of_the_file_stay_text_in_the_picture(run, tmp_path: Path) -> None:
    text = Path(TRAILER).read_text(encoding="utf-8")
    hostile = "$\\\\frac{1}{0}$ <b>&"
    changed = text.replace(
        'circuit = "Tailgate lock on a tipping trailer"', f'circuit = "{hostile}"'
    )
    assert changed != text
    file = tmp_path / "harness.toml"
    file.write_text(changed, encoding="utf-8")
    target = tmp_path / "p.svg"
    code, _, _ = run(str(file), "--plot", str(target))
    assert code == 0
    drawn = target.read_text(encoding="utf-8")
    assert "$\\frac{1}{0}$ &lt;b&gt;&amp;" in drawn
    assert "<b>" not in drawn


def test_a_picture_needs_a_known_ending_and_a_known_fuse(run, tmp_path: Path) -> None:
    assert run(TRAILER, "--plot", str(tmp_path / "p.gif"))[0] == 2
    code, _, err = run(TRAILER, "--plot", str(tmp_path / "p.svg"), "--fuse", "F9")
    assert code == 2
    assert "there are F1, TAP for the machine's fuse ahead of TAP (" in " ".join(err.split())
    assert run(TRAILER, "--fuse", "F1")[0] == 2
    assert not list(tmp_path.iterdir())


def changed(tmp_path: Path, source: Path, *changes: tuple[str, str]) -> str:
    """Return a copy of a harness file with some of its text changed."""
    text = source.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    file = tmp_path / "harness.toml"
    file.write_text(text, encoding="utf-8")
    return str(file)


@pytest.mark.parametrize(
    ("spring", "said"),
    [
        ('"3 N", "5 N"', "plunger in after"),
        ('"3 N", "18 N"', "plunger NOT IN on the lowest supply; after"),
        ('"30 N", "60 N"', "plunger NOT IN: spring and load hold it back"),
    ],
)
def test_a_plunger_that_does_not_get_in_is_said(run, tmp_path: Path, spring: str, said) -> None:
    """On 12.25 H/m the 2 A of a cold coil pull with 24 N, the 1 A of a hot one with 7 N."""
    plunger = (
        f'plunger = {{ stroke = "4 mm", mass = "20 g", spring = [{spring}], '
        'inductance = ["65 mH", "114 mH"] }'
    )
    kind = 'kind = "solenoid coil"'
    file = changed(tmp_path, ORCHARD, (kind, f"{plunger}\n{kind}"))
    code, out, _ = run(file, "--action", "press left", columns=500)
    assert code == 0
    assert f"; {said}" in of_fuse(out, "press left", "VL")


def lines_of(out: str, action: str) -> list[str]:
    """Return the lines of one action, each as one."""
    block = out.split(f"\n{action}\n")[1].split("\n\n", maxsplit=1)[0]
    return block.replace("\n    ", " ").splitlines()


def of_fuse(out: str, action: str, name: str = "F1") -> str:
    return next(line for line in lines_of(out, action) if line.startswith(f"  {name}"))


USE = 'longest_press = "20 s"\npresses_per_hour = 40\n'


def test_without_use_a_fuse_is_judged_as_held_without_pause(run, tmp_path: Path) -> None:
    """Held on, the longest time constants count too: as much as in a press of 20 s, not less."""
    code, out, _ = run(changed(tmp_path, ORCHARD, (USE, "")), columns=500)
    assert code == 0
    held = of_fuse(out, "press left + right")
    assert held.endswith("26 % of its opening, held without pause")
    # nobody lets go of the key: what the machine's fuse carries it carries on
    machine = of_fuse(out, "key on", "machine's fuse ahead of TAP (20 A)")
    assert machine.endswith("6 % of its opening, held without pause")
    for action in ("press right, left held", "press left", "key on"):
        assert "held without pause" in of_fuse(out, action, "machine's fuse")


def test_a_press_that_is_over_before_pull_in_is_said(run, tmp_path: Path) -> None:
    short = USE.replace("20 s", "1 ms")
    code, out, _ = run(changed(tmp_path, ORCHARD, (USE, short)), columns=500)
    assert code == 0
    coil = of_fuse(out, "press left", "VL")
    assert coil.endswith("NOT WITHIN a press of 1 ms")
    # 4 A in 7.5 A for 1 ms is nothing; what flowed before goes on
    assert "under 1 % of its opening in a press of 1 ms" in of_fuse(out, "press left")
    between = USE.replace("20 s", "10 ms")
    code, out, _ = run(changed(tmp_path, ORCHARD, (USE, between)), columns=500)
    assert code == 0
    assert of_fuse(out, "press left", "VL").endswith(
        "NOT WITHIN a press of 10 ms on the lowest supply"
    )
    code, out, _ = run(str(ORCHARD))
    assert "NOT WITHIN" not in out


def test_why_a_fuse_is_not_judged_is_what_is_missing(run, tmp_path: Path) -> None:
    hot = ('ambient = ["-10 degC", "45 degC"]', 'ambient = ["-10 degC", "140 degC"]')
    code, out, _ = run(changed(tmp_path, ORCHARD, hot), columns=500)
    assert code == 0
    said = of_fuse(out, "press left")
    assert (
        "its opening: not judged, the library does not re-rate a blade fuse for air of 140" in said
    )
    assert "shortest" not in said


@pytest.mark.parametrize(
    ("rating", "said"),
    [("7.5 A", "26 % of its opening in"), ("2 A", "not judged, no source gives the shortest")],
)
def test_a_fuse_without_shortest_times_is_judged_where_it_holds(
    run, tmp_path: Path, rating: str, said: str
) -> None:
    """As `nuisance opening` does: only an opening needs the shortest times."""
    blade = 'rating = "7.5 A"\nstyle = "blade"'
    glass = f'rating = "{rating}"\nstyle = "glass tube 6.3 x 32 mm"'
    code, out, _ = run(changed(tmp_path, ORCHARD, (blade, glass)), columns=500)
    assert code == 0
    assert said in of_fuse(out, "press left + right")


def test_no_fuse_is_not_a_fuse_of_unknown_size(run, tmp_path: Path) -> None:
    for fuse, said in (("none", "machine's wire to TAP, no fuse ahead of it"),
                       ("unknown", "machine's fuse ahead of TAP (size unknown)")):  # fmt: skip
        file = changed(tmp_path, ORCHARD, ('fuse = "20 A blade"', f'fuse = "{fuse}"'))
        code, out, _ = run(file, columns=500)
        assert code == 0
        assert said in of_fuse(out, "key on", "machine's")


def test_what_blunts_the_peak_of_a_capacitor_is_said_to_be_left_out(run, tmp_path: Path) -> None:
    left_out = "the inductance of the wires and the resistance of its capacitor"
    code, out, _ = run(str(CONVERTER))
    plain = " ".join(out.split())
    assert code == 0
    assert " kA at once" in plain
    assert f"- C1: {left_out}, which blunt its peak; its own delay at start" in plain
    line = next(
        line for line in CONVERTER.read_text(encoding="utf-8").splitlines(keepends=True)
        if "input_capacitance" in line
    )  # fmt: skip
    code, out, _ = run(changed(tmp_path, CONVERTER, (line, "")))
    plain = " ".join(out.split())
    assert code == 0
    assert left_out not in plain
    assert "C1: the charge of its input capacitor, which is not given" in plain


@pytest.mark.slow
@pytest.mark.parametrize(
    ("example", "labels", "without"),
    [
        # both coils behind one button: one line; the second beside one that is on: two lines
        ("tree_nursery_pot_watering", ["VL, VR alike"] * 4, "VR, VL"),
        ("seed_drill_tramline_release", ["YL", "YR"] * 2 + ["YL, YR alike"] * 2, "YR, YL"),
    ],
)
def test_each_line_of_a_picture_has_its_name(
    run, tmp_path: Path, example: str, labels: list[str], without: str
) -> None:
    target = tmp_path / "p.svg"
    file = str(EXAMPLES / example / "harness.toml")
    assert run(file, "--plot", str(target))[0] == 0
    drawn = re.findall(r"<text[^>]*>([^<]*)</text>", target.read_text(encoding="utf-8"))
    assert sorted(one for one in drawn if one in labels) == sorted(labels)
    assert without not in drawn


@pytest.mark.slow
def test_the_machines_fuse_is_called_so_in_the_picture(run, tmp_path: Path) -> None:
    target = tmp_path / "p.svg"
    assert run(str(ORCHARD), "--plot", str(target), "--fuse", "TAP")[0] == 0
    assert "Current at machine's fuse ahead of TAP (20 A)" in target.read_text(encoding="utf-8")
