"""Every kind of mistake: the file that makes it, and what must be said about it.

Beside each `bad/NAME.toml` stands `NAME.expected`: one line per problem, `line | place | fragment
of what is wrong | fragment of what is right`, `-` for a problem that has no line.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck import InputError, read_harness, read_library

BAD = Path(__file__).parents[1] / "harnesses" / "bad"
FILES = sorted(BAD.glob("*.toml"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_mistake_is_named_with_its_place_and_remedy(path: Path) -> None:
    with pytest.raises(InputError) as caught:
        read_harness(path, read_library())
    problems = list(caught.value.problems)
    for line in path.with_suffix(".expected").read_text(encoding="utf-8").splitlines():
        number, place, wrong, right = (word.strip() for word in line.split(" | "))
        found = [
            p
            for p in problems
            if (str(p.line) if p.line else "-") == number
            and p.place == place
            and wrong in p.wrong
            and right in p.right
        ]
        assert found, f"not said: {line}\nsaid:\n" + "\n".join(map(str, problems))
        problems.remove(found[0])
    assert not problems, "said besides:\n" + "\n".join(map(str, problems))


def test_every_bad_file_has_its_expectation() -> None:
    assert len(FILES) > 50
    assert [p.stem for p in FILES] == sorted(p.stem for p in BAD.glob("*.expected"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_messages_are_short_and_printable(path: Path) -> None:
    with pytest.raises(InputError) as caught:
        read_harness(path, read_library())
    for problem in caught.value.problems:
        said = f"{problem.place}: {problem.wrong}. {problem.right}"
        assert said.isprintable()
        assert len(said) < 700
        assert problem.right.endswith((".", "?"))
