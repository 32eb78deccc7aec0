"""A user's own rows: read by the same checks, all faults at once, never in silence."""

import csv
import shutil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitcheck import check_file, read_harness, read_library, read_user_rows
from circuitcheck.errors import InputError
from circuitcheck.model.assumption import OF_LIBRARY
from circuitcheck.model.library import GIVEN
from circuitcheck.read.library.library_tables import library_path
from circuitcheck.read.library.library_user_rows import NOT_FOR_USERS

LIBRARY = read_library()
FUSE = """
[[fuses]]
name = "6 A blade"
style = "blade"
rating_a = 6
cold_mohm = 15.0
drop_at_rated_mv = 125
tolerance_percent = 15
colour = "white"
clip = "fuse clip"
voltage_rating_v = 58
"""
EXAMPLE = "examples/orchard_sprayer/harness.toml"


def rows(text):
    return read_user_rows("mine.toml", LIBRARY, text=text)


def problems(text):
    with pytest.raises(InputError) as caught:
        rows(text)
    return [str(problem) for problem in caught.value.problems]


def as_toml(table, cells):
    lines = [f"[[{table}]]"]
    for column, cell in cells.items():
        if column in ("source", "how") or cell == "":
            continue
        if column in ("terminal", "returns_for"):  # texts that look like numbers
            lines.append(f'{column} = "{cell}"')
            continue
        try:
            lines.append(f"{column} = {float(cell)!r}")
        except ValueError:
            lines.append(f'{column} = "{cell}"')
    return "\n".join(lines) + "\n"


def shipped(table):
    with (library_path() / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_row_of_ones_own_joins_the_library():
    own = rows(FUSE)
    library = LIBRARY.with_rows(own)
    fuse = library.fuse("blade", 6.0)
    assert (fuse.how, fuse.source) == (GIVEN, "mine.toml")
    assert library.source(fuse.source).where == "mine.toml"
    assert fuse.resistance_ohm.nominal == pytest.approx(0.015)
    assert fuse.breaking_capacity_a is None
    assert 6.0 in library.fuse_ratings("blade")
    assert library.replaced == ()
    assert 6.0 not in LIBRARY.fuse_ratings("blade")
    assert library.search("6 A blade")[0].how == GIVEN


def test_a_row_that_stands_in_for_another_is_told():
    own = rows(FUSE.replace("6 A blade", "5 A blade").replace("rating_a = 6", "rating_a = 5"))
    library = LIBRARY.with_rows(own)
    assert library.replaced == (("fuses", "5 A blade", "mine.toml"),)
    assert library.fuse("blade", 5.0).voltage_rating_v == 58.0
    assert library.with_rows(own) == library
    assert len(library.fuses) == len(LIBRARY.fuses)


@pytest.mark.parametrize(
    "table", [t for t, _ in LIBRARY.tables() if t not in (*NOT_FOR_USERS, "fuse_opening_times")]
)
def test_every_table_takes_its_own_rows_back(table):
    entries = shipped(table)
    text = "".join(as_toml(table, cells) for cells in entries)
    if table == "sockets":
        text += "".join(as_toml("socket_cavities", cells) for cells in shipped("socket_cavities"))
    if table == "socket_cavities":  # they come into the library with their socket alone
        text += "".join(as_toml("sockets", cells) for cells in shipped("sockets"))
    library = LIBRARY.with_rows(rows(text))
    before, after = dict(LIBRARY.tables())[table], dict(library.tables())[table]
    assert [row.name for row in after] == [row.name for row in before]
    for old, new in zip(before, after, strict=True):
        same = {k: v for k, v in vars(old).items() if k not in ("source", "how")}
        if table not in ("relays", "switches", "sockets"):  # these hold other rows
            assert same == {k: v for k, v in vars(new).items() if k not in ("source", "how")}
        assert new.how == GIVEN


def test_opening_times_of_a_style_of_ones_own():
    points = ((110, 1000.0, None), (135, 10.0, 600.0), (200, 1.0, 5.0))
    text = ""
    for percent, least, most in points:
        text += f'[[fuse_opening_times]]\nname = "odd"\npercent = {percent}\nmin_s = {least}\n'
        text += f"max_s = {most}\n" if most else ""
    library = LIBRARY.with_rows(rows(text))
    assert library.fuse_opening_band("odd").percents == (110.0, 135.0, 200.0)
    assert library.fuse_opening_band("odd").how == GIVEN
    told = problems(text.replace("max_s = 5.0", "max_s = 6000.0"))
    assert told == [
        "mine.toml:1: fuse_opening_times: odd: percent must rise, min_s and max_s must fall, and "
        "min_s must not be above max_s. Give every point of the style."
    ]


def test_a_relay_takes_ratings_of_ones_own():
    cells = next(row for row in shipped("relays") if row["name"].startswith("mini relay make"))
    cells = {**cells, "name": "my relay", "ratings": "mine"}
    rating = next(row for row in shipped("contact_ratings") if row["load"] == "DC inductive")
    rating = {**rating, "name": "mine, inductive", "group": "mine", "current_a": "7"}
    text = as_toml("relays", cells) + as_toml("contact_ratings", rating)
    relay = LIBRARY.with_rows(rows(text)).relay("my relay")
    assert [(r.load, r.current_a) for r in relay.ratings] == [("DC inductive", 7.0)]
    (told,) = problems(as_toml("relays", cells))
    assert "ratings: got 'mine', no group of contact_ratings.csv" in told


def test_all_faults_come_at_once_with_their_lines():
    text = FUSE + (
        FUSE.replace("rating_a = 6", 'rating_a = "6"')
        .replace("cold_mohm = 15.0", "cold_mohm = -1")
        .replace('clip = "fuse clip"\n', 'how = "looked-up"\ncollour = "white"\n')
        + "[[relay]]\nname = 'x'\n[fuses2]\n[[limits]]\nname = 'voltage_drop_total_percent'\n"
    )
    told = problems(text)
    assert [line.split(": ", 1)[0] for line in told] == [
        *("mine.toml:13", "mine.toml:16", "mine.toml:17", "mine.toml:21", "mine.toml:22"),
        *("mine.toml:24", "mine.toml:26", "mine.toml:27"),
    ]
    assert "clip missing" in told[0]
    assert 'rating_a: got "6", must be a plain number' in told[1]
    assert "cold_mohm: got -1, must be above 0" in told[2]
    assert "how: not for you to give" in told[3]
    assert "did you mean colour?" in told[4]
    assert "Did you mean [[relays]]?" in told[5]
    assert "no table for rows of your own" in told[7]


@pytest.mark.parametrize(
    ("old", "new", "wrong"),
    [
        ("rating_a = 6", "rating_a = 7", "name: must be '7 A blade'"),
        ("cold_mohm = 15.0", "cold_mohm = inf", "must be finite"),
        ("cold_mohm = 15.0", "cold_mohm = nan", "must be finite"),
        ("cold_mohm = 15.0", f"cold_mohm = {10**400}", "more than 15 digits"),
        ("cold_mohm = 15.0", "cold_mohm = true", "got true, must be a plain number"),
        ("cold_mohm = 15.0", "cold_mohm = [1]", "got a list of 1, must be a plain number"),
        ("cold_mohm = 15.0", "cold_mohm = 1979-05-27", "must be a plain number"),
        ('colour = "white"', "colour = 3", "got 3, must be a text in quotes"),
        ('colour = "white"', 'colour = "a\\u001b[31m"', "plain characters"),
        ('colour = "white"', f'colour = "{"x" * 300}"', "at most 200"),
        ('"fuse clip"', '"no such clip"', "contacts have no row 'no such clip'"),
        ('style = "blade"', 'style = "bladd"', "name: must be '6 A bladd'"),
        ("drop_at_rated_mv = 125", "drop_at_rated_mv = 20", "hot resistance at rated current"),
        ("[[fuses]]", "[fuses]", "Write each row under [[fuses]]"),
    ],
)
def test_a_wrong_value_is_named(old, new, wrong):
    assert old in FUSE
    (told,) = problems(FUSE.replace(old, new))
    assert wrong in told
    assert told.startswith("mine.toml:")


def test_contacts_without_their_socket_are_refused():
    (cells, *_) = shipped("socket_cavities")
    assert (
        "no [[sockets]] of this file is called 'ISO 1724'"
        in problems(as_toml("socket_cavities", cells))[0]
    )


def test_a_row_given_twice_is_refused():
    assert "given twice" in problems(FUSE + FUSE)[0]


def test_a_size_must_be_named_as_its_system_names_it():
    cells = {**shipped("conductors")[0], "name": "my wire"}
    assert "is not how a size of SAE is named" in problems(as_toml("conductors", cells))[0]


@settings(max_examples=60, deadline=None)
@given(st.text(alphabet='[]{}="fuses.\n1 a', max_size=60))
def test_hostile_text_is_read_or_refused(text):
    try:
        rows(text)
    except InputError as error:
        if not error.problems:
            raise AssertionError("refused without a reason") from error


@pytest.fixture
def machine(tmp_path):
    shutil.copy(EXAMPLE, tmp_path / "harness.toml")
    text = (tmp_path / "harness.toml").read_text(encoding="utf-8")

    def write(name, own):
        named = text.replace("format", f'library = "{name}"\nformat', 1)
        (tmp_path / "harness.toml").write_text(named, encoding="utf-8")
        (tmp_path / "rows").mkdir(exist_ok=True)
        if own is not None:
            (tmp_path / name).write_text(own, encoding="utf-8")
        return tmp_path / "harness.toml"

    return write


@pytest.mark.parametrize("name", ["mine.toml", "rows/my own.toml"])
def test_a_harness_file_names_its_rows(machine, name):
    path = machine(name, FUSE)
    harness = read_harness(path, LIBRARY)
    assert harness.user_rows.tables["fuses"][0].name == "6 A blade"
    assert not [a for a in harness.assumptions if a.subject == OF_LIBRARY]
    verdict = check_file(path)
    assert verdict.library.fuse("blade", 6.0).how == GIVEN


def test_a_replaced_row_is_told_whichever_way_it_came(machine, tmp_path):
    own = FUSE.replace("6 A blade", "5 A blade").replace("rating_a = 6", "rating_a = 5")
    harness = read_harness(machine("mine.toml", own), LIBRARY)
    (told,) = [a for a in harness.assumptions if a.subject == OF_LIBRARY]
    assert told.key == "fuses, 5 A blade"
    assert "instead of the library's own" in told.assumed
    library = LIBRARY.with_rows(rows(own))
    harness = read_harness(EXAMPLE, library)
    assert [a.key for a in harness.assumptions if a.subject == OF_LIBRARY] == [told.key]


@pytest.mark.parametrize(
    "name",
    ["../mine.toml", "/etc/mine.toml", "C:/mine.toml", "a\\\\mine.toml", "~/mine.toml", "", "x",
     "rows/../mine.toml", "./mine.toml", "a//mine.toml", ".toml", "mine.toml/"],
)  # fmt: skip
def test_the_name_must_be_a_plain_relative_path(machine, name):
    with pytest.raises(InputError, match=r"Give a file beside this one"):
        read_harness(machine(name, None), LIBRARY)


def test_a_link_out_of_the_folder_is_refused(machine, tmp_path, tmp_path_factory):
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "mine.toml"
    elsewhere.write_text(FUSE, encoding="utf-8")
    (tmp_path / "mine.toml").symlink_to(elsewhere)
    with pytest.raises(InputError, match="leads out of the folder"):
        read_harness(machine("mine.toml", None), LIBRARY)


def test_problems_of_both_files_come_together(machine, tmp_path):
    path = machine("mine.toml", FUSE.replace("rating_a = 6", "rating_a = -6"))
    path.write_text(path.read_text(encoding="utf-8").replace('"12 V"', '"13 V"', 1))
    with pytest.raises(InputError) as caught:
        read_harness(path, LIBRARY)
    assert {problem.file for problem in caught.value.problems} == {
        str(path),
        str(tmp_path / "mine.toml"),
    }


def test_a_missing_file_is_a_problem_of_the_harness_file(machine):
    with pytest.raises(InputError, match=r'library: there is no file "mine\.toml" beside this one'):
        read_harness(machine("mine.toml", None), LIBRARY)
