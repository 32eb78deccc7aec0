"""Whatever is put in, the reader answers with a harness or with InputError, nothing else."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck import Harness, InputError, read_harness, read_library
from circuitcheck.read.fill_in import fill_in_text
from circuitcheck.read.reading import MOST_PROBLEMS
from circuitcheck.read.tables import MOST_TABLES

GOOD = sorted((Path(__file__).parents[1] / "harnesses" / "good").glob("*.toml"))
TEXTS = [path.read_text(encoding="utf-8") for path in GOOD] + [fill_in_text()]
VALUES = [
    '"unknown"', '""', '"none"', "1", "-1", "true", "[]", "{}", "[[]]", '["unknown"]', "nan",
    "1979-05-27", '"9**9**9"', '"1e99 V"', '"-5 m"', '["1 V", "2 V"]', '"X1.plug.1"', '"BAT"',
    '{ value = "1 ohm", tolerance = "10 %" }', '{ kind = "unknown" }', "0x" + "f" * 400,
]  # fmt: skip


def outcome(text: str) -> Harness | InputError:
    try:
        return read_harness("given.toml", read_library(), text=text)
    except InputError as error:
        return error


def answers(text: str) -> None:
    got = outcome(text)
    if isinstance(got, InputError):
        assert got.problems
        assert all(p.wrong and p.right for p in got.problems)
        assert all(p.place.isprintable() and p.wrong.isprintable() for p in got.problems)
        return
    for wire in got.wires.values():
        for end in (wire.start, wire.end):
            assert end.name in got.parts[end.part].terminals
        assert wire.length_m.lower > 0
        assert set(wire.route) <= set(got.zones)
    assert all(part.zone in got.zones for part in got.parts.values())


@settings(deadline=None, max_examples=200)
@given(st.text(max_size=200))
def test_any_text(text: str) -> None:
    answers(text)


@settings(deadline=None, max_examples=300)
@given(st.sampled_from(TEXTS), st.randoms(use_true_random=False))
def test_good_files_with_lines_cut_doubled_swapped_or_given_other_values(
    text: str, chance: random.Random
) -> None:
    lines = text.split("\n")
    for _ in range(chance.randint(1, 6)):
        at, other = chance.randrange(len(lines)), chance.randrange(len(lines))
        match chance.randrange(5):
            case 0:
                lines[at] = ""
            case 1:
                lines[at] = lines[other]
            case 2:
                lines[at], lines[other] = lines[other], lines[at]
            case _ if "=" in lines[at]:
                lines[at] = f"{lines[at].split('=')[0]}= {chance.choice(VALUES)}"
    answers("\n".join(lines))


@settings(deadline=None, max_examples=200)
@given(st.sampled_from(TEXTS), st.randoms(use_true_random=False))
def test_good_files_with_characters_changed(text: str, chance: random.Random) -> None:
    letters = list(text)
    for _ in range(chance.randint(1, 20)):
        letters[chance.randrange(len(letters))] = chance.choice("\"'[]{}=,.#\n\\\0ä1a -+\u202e\x1b")
    answers("".join(letters))


@settings(deadline=None, max_examples=100)
@given(st.binary(max_size=300))
def test_any_bytes(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    path = tmp_path_factory.mktemp("bytes") / "given.toml"
    path.write_bytes(content)
    with pytest.raises(InputError):
        read_harness(path, read_library())


def test_thousands_of_mistakes_are_cut_off() -> None:
    head = 'format = 1\ncircuit = "x"\nsystem = "12 V"\n[zone.cab]\nambient = "unknown"\n'
    wires = "".join(
        f'[wire.W{i}]\nfrom = "PARD{i}"\nto = "PRAT{i}"\ngauge = "x"\n' for i in range(2000)
    )
    parts = "".join(f'[part.PART{i}]\nkind = "splise"\n' for i in range(2000))
    with pytest.raises(InputError) as caught:
        read_harness("given.toml", read_library(), text=head + parts + wires)
    assert len(caught.value.problems) == MOST_PROBLEMS + 1
    assert caught.value.problems[-1].wrong == "too many problems"


def test_thousands_of_parts_are_refused_by_number() -> None:
    parts = "".join(f'[part.P{i}]\nkind = "splice"\n' for i in range(MOST_TABLES + 1))
    with pytest.raises(InputError, match=f"At most {MOST_TABLES} are read"):
        read_harness("given.toml", read_library(), text=parts)
