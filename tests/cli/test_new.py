"""`circuitcheck new FILE` and the file it writes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from circuitcheck import InputError, read_harness, read_library
from circuitcheck.cli.new import new, write_fill_in
from circuitcheck.model.solenoid_coil import SolenoidCoil
from circuitcheck.model.switch import SwitchHandle
from circuitcheck.read.fill_in import fill_in_text


def test_writes_a_file_that_reads_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    result = CliRunner().invoke(new, [str(path)])
    assert result.exit_code == 0
    assert "circuitcheck check" in result.output
    harness = read_harness(path, read_library())
    kinds = [part.kind for part in harness.parts.values()]
    assert sorted(set(kinds)) == [
        "battery", "connector", "frame", "fuse", "ground stud", "solenoid coil", "splice",
        "supply tap", "switch handle",
    ]  # fmt: skip
    assert len(harness.of_kind(SolenoidCoil)) == 2
    assert harness.of_kind(SwitchHandle)[0].buttons == ("left", "right")


def test_every_unknown_of_the_file_names_what_to_measure() -> None:
    harness = read_harness("mine.toml", read_library(), text=fill_in_text())
    said = [a for a in harness.assumptions if a.stated_unknown]
    stated = re.findall(r'^[a-z_]+ *= "unknown"', fill_in_text(), re.MULTILINE)
    assert len(said) == len(stated) > 30
    assert all(a.measure for a in said)


def test_examples_in_the_comments_are_legal_where_they_stand() -> None:
    lines = fill_in_text().split("\n")
    tried = 0
    for number, line in enumerate(lines):
        match = re.match(r'([a-z_]+) *= "unknown" +# (.*)$', line)
        if match is None:
            continue
        for example in re.findall(r'\[\{.*\}\]|\[[^\]]*\]|\{[^}]*\}|"[^"]*"|(?<=: )\d+', match[2]):
            changed = [*lines[:number], f"{match[1]} = {example}", *lines[number + 1 :]]
            read_harness("mine.toml", read_library(), text="\n".join(changed))
            tried += 1
    assert tried > 15


def test_never_overwrites(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text("precious", encoding="utf-8")
    with pytest.raises(InputError, match="the name is taken"):
        write_fill_in(path)
    assert path.read_text(encoding="utf-8") == "precious"


def test_never_writes_through_a_link(tmp_path: Path) -> None:
    link = tmp_path / "link.toml"
    link.symlink_to(tmp_path / "elsewhere.toml")
    with pytest.raises(InputError, match="the name is taken"):
        write_fill_in(link)
    assert not (tmp_path / "elsewhere.toml").exists()


def test_folder_missing_or_in_the_way(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such folder"):
        write_fill_in(tmp_path / "absent" / "mine.toml")
    with pytest.raises(InputError, match="the name is taken"):
        write_fill_in(tmp_path)
    with pytest.raises(InputError, match="cannot be written"):
        write_fill_in(tmp_path / ("x" * 400))
