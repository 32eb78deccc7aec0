"""Files that are no harness files at all: each is refused in words, and quickly."""

from __future__ import annotations

import os
import tracemalloc
from pathlib import Path

import pytest

from circuitcheck import InputError, read_harness, read_library
from circuitcheck.read.toml_source import MOST_BYTES, load_toml


def refusal(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_harness(path, read_library())
    assert len(caught.value.problems) == 1
    return str(caught.value)


def written(folder: Path, content: bytes) -> Path:
    path = folder / "given.toml"
    path.write_bytes(content)
    return path


def test_missing_file(tmp_path: Path) -> None:
    assert "there is no such file" in refusal(tmp_path / "absent.toml")


def test_folder(tmp_path: Path) -> None:
    assert "this is a folder" in refusal(tmp_path)


def test_name_that_no_file_can_have() -> None:
    assert "cannot be opened" in refusal(Path("a\0b"))
    assert "cannot be opened" in refusal(Path("x" * 5000))


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_file_that_may_not_be_read(tmp_path: Path) -> None:
    path = written(tmp_path, b"format = 1\n")
    path.chmod(0)
    assert "may not be read" in refusal(path)


def test_pipe_is_not_waited_for(tmp_path: Path) -> None:
    path = tmp_path / "pipe"
    os.mkfifo(path)
    assert "no plain file" in refusal(path)


def test_endless_device() -> None:
    assert "no plain file" in refusal(Path("/dev/zero"))


def test_oversized_file_is_not_taken_into_memory(tmp_path: Path) -> None:
    path = tmp_path / "large.toml"
    with path.open("wb") as stream:
        stream.truncate(500_000_000)
    tracemalloc.start()
    said = refusal(path)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert f"more than {MOST_BYTES} bytes" in said
    assert peak < 10 * MOST_BYTES


def test_binary_file_names_the_byte(tmp_path: Path) -> None:
    said = refusal(written(tmp_path, b"format = 1\n\x7fELF\x00\x00"))
    assert ":2: byte 16 is zero" in said


def test_other_encoding_names_the_byte(tmp_path: Path) -> None:
    said = refusal(written(tmp_path, 'format = 1\ncircuit = "Mähwerk"\n'.encode("latin-1")))
    assert ":2: byte 24 (0xe4) is not UTF-8" in said


def test_utf_16(tmp_path: Path) -> None:
    assert "byte" in refusal(written(tmp_path, "format = 1\n".encode("utf-16")))


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("[" * 100_000, "a line of 100000 characters"),
        ("\n".join(["a = " + "[" * 3000] * 2), "nested more than 8 deep"),
        ("a = " + "[\n" * 100_000, "nested more than 8 deep"),
        ("a = " + "{b=" * 1000, "nested more than 8 deep"),
        (".".join(["a"] * 500) + " = 1", "a key of more than 6 parts"),
        ("[" + ".".join(["a"] * 500) + "]", "a key of more than 6 parts"),
        ("a = { " + ".".join(["a"] * 500) + " = 1 }", "a key of more than 6 parts"),
        ('a = "' + "\\" * 200_000, "a line of 200005 characters"),
        ('a = """' + "\\\n" * 300_000, "a text is not closed"),
        ("a = 9**9**9", "more text after the end of a value"),
        ("a = " + "9" * 5000, "a line of 5004 characters"),
        ("= = =\n" * 150_000, "no TOML"),
        ('"""\n' * 200_000, "no TOML"),
        ("a = 1\n" * 100_000, "a key is given twice"),
        ("\x1b]0;owned\x07", "no TOML"),
    ],
    ids=range(15),
)
def test_hostile_text_is_refused_without_depth_or_delay(
    tmp_path: Path, content: str, said: str
) -> None:
    message = refusal(written(tmp_path, content.encode()))
    assert said in message
    assert len(message) < 500
    assert message.isprintable()


def test_byte_order_mark_and_windows_line_ends_are_accepted() -> None:
    source = load_toml("x", "\ufeffformat = 1\r\n[part.A]\r\nkind = 1\r\n")
    assert source.tables == {"format": 1, "part": {"A": {"kind": 1}}}
    assert source.line(("part", "A", "kind")) == 3


LOCATED = '''format = 1 # [no.table]
story = """
[no.table]
key = 1
"""
[zone.cab]
ambient = [
  "-10 degC",  # , ]
  "45 degC",
]
[part."TAP"]
upstream = { from = "BAT.+", "fuse" = "a = { b", gauge = "14 AWG" }
x.y = 'it''s = [' # dotted
[part.GRIP]
contacts = [
  { button = "left", closes = ["a", "b"] },

  { button = "right", closes = ["a",
    "c"] },
]
interlock = "none"
'''.replace("'it''s = ['", "'its = ['")


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("format",), 1),
        (("story",), 2),
        (("zone", "cab"), 6),
        (("zone", "cab", "ambient"), 7),
        (("part", "TAP"), 11),
        (("part", "TAP", "upstream", "fuse"), 12),
        (("part", "TAP", "upstream", "gauge"), 12),
        (("part", "TAP", "x", "y"), 13),
        (("part", "GRIP", "contacts"), 15),
        (("part", "GRIP", "contacts", 0, "closes"), 16),
        (("part", "GRIP", "contacts", 1, "button"), 18),
        (("part", "GRIP", "interlock"), 21),
        (("part", "GRIP", "absent"), 14),
        (("absent",), None),
    ],
)
def test_lines_are_found(path: tuple[str | int, ...], line: int | None) -> None:
    assert load_toml("x", LOCATED).line(path) == line
