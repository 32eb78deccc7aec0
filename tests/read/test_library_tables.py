"""Reading of the library folder: what is in it, and that every fault of a cell is named."""

import csv
import itertools
import math
import shutil
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import circuitcheck
from circuitcheck.errors import LibraryError
from circuitcheck.model.library import HOW_KNOWN
from circuitcheck.read.library.library_tables import library_path, read_library

LIBRARY = read_library()
CSV_FILES = sorted(path.name for path in library_path().glob("*.csv"))

# Rows whose main numbers are recalled, not read. To be raised when a source is found, never
# silently: a new recalled row must be counted here.
FROM_MEMORY = {
    "conductors": 14,
    "insulation": 3,
    "ampacity": 190,
    "engine_space_factor": 3,
    "fuses": 61,
    "fuse_opening_times": 6,
    "fuse_rerating": 30,
    "contacts": 15,
    "coils": 6,
    "supply": 2,
    "limits": 43,
    "relays": 9,
    "pull_hold_coils": 2,
    "converters": 4,
    "switches": 9,
    "contact_ratings": 24,
    "lamps": 11,
    "diodes": 1,
    "suppressors": 4,
    "sockets": 1,
    "socket_cavities": 8,
    "materials": 1,
    "outside_diameters": 38,
    "instruments": 13,
}


@pytest.fixture
def copy(tmp_path):
    folder = tmp_path / "library"
    shutil.copytree(library_path(), folder)
    return folder


def change(folder, name, old, new):
    path = folder / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_every_row_has_a_listed_source_and_says_how_it_is_known():
    for table, rows in LIBRARY.tables():
        for row in rows:
            assert LIBRARY.source(row.source).title, (table, row.name)
            assert row.how in HOW_KNOWN, (table, row.name)


def test_rows_from_memory_are_counted():
    recalled = {
        table: [row.name for row in rows if row.how == "memory"] for table, rows in LIBRARY.tables()
    }
    print()
    for table, names in recalled.items():
        print(f"{table}: {len(names)} from memory: {'; '.join(dict.fromkeys(names)) or 'none'}")
    assert {table: len(names) for table, names in recalled.items() if names} == FROM_MEMORY


def test_every_listed_source_is_used_by_a_row_the_package_or_a_published_check():
    used = {row.source for _, rows in LIBRARY.tables() for row in rows}
    folders = [Path(circuitcheck.__path__[0]), Path(__file__).parents[1] / "published"]
    texts = [path.read_text(encoding="utf-8") for f in folders for path in f.rglob("*.py")]
    named = {
        key
        for key, source in LIBRARY.sources.items()
        if any(key in text or source.edition in text for text in texts)
    }
    assert set(LIBRARY.sources) - used - named == set()


def test_csv_files_are_all_read():
    assert sorted(f"{table}.csv" for table, _ in LIBRARY.tables()) == CSV_FILES


def test_read_once():
    assert read_library() is read_library()


@pytest.mark.parametrize(
    "table", ["conductors", "contacts", "coils", "batteries", "insulation", "limits"]
)
def test_a_wrong_name_is_answered_with_the_nearest(table):
    rows = dict(LIBRARY.tables())[table]
    look_up = {
        "conductors": LIBRARY.conductor, "contacts": LIBRARY.contact, "coils": LIBRARY.coil,
        "batteries": LIBRARY.battery, "insulation": LIBRARY.insulation, "limits": LIBRARY.limit,
    }[table]  # fmt: skip
    name = rows[0].name
    assert look_up(name) is rows[0]
    with pytest.raises(LibraryError, match=r"Did you mean '"):
        look_up(name + "x")


@pytest.mark.parametrize(
    ("written", "row"),
    [("1.50 mm2", "1.5 mm2"), ("10.0 mm²", "10 mm2"), ("10 mm2", "10 mm2"), ("0.50 mm2", "0.5 mm2"),
     (" 16 AWG ", "16 AWG"), ("1.0 mm2 (IEC 60228 class 5)", "1 mm2 (IEC 60228 class 5)")],
)  # fmt: skip
def test_metric_sizes_may_be_written_with_zeros(written, row):
    assert LIBRARY.conductor(written).name == row


def test_next_sizes_are_larger_and_of_the_same_system():
    names = [row.name for row in LIBRARY.next_conductors("16 AWG")]
    assert names == [
        *("14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "2 AWG", "1 AWG"),
        *("1/0 AWG", "2/0 AWG", "3/0 AWG", "4/0 AWG"),
    ]
    assert LIBRARY.next_conductors("70 mm2") == ()
    assert LIBRARY.next_conductors("0.35 mm2")[0].name == "0.5 mm2"


def test_vehicle_sizes_are_smaller_than_awg_sizes():
    gauges = [row.name.split()[0] for row in LIBRARY.conductors.values() if row.system == "SAE"]
    assert gauges[-1] == "4/0"
    for gauge in gauges:
        vehicle, awg = (
            LIBRARY.conductor(f"{gauge} AWG"),
            LIBRARY.conductor(f"{gauge} AWG (AWG area)"),
        )
        assert vehicle.area_mm2 < awg.area_mm2


def test_resistance_falls_with_area_in_every_system():
    for system in {row.system for row in LIBRARY.conductors.values()}:
        rows = sorted(
            (row for row in LIBRARY.conductors.values() if row.system == system),
            key=lambda row: row.area_mm2,
        )
        for small, large in itertools.pairwise(rows):
            assert large.resistance_ohm_per_m.upper < small.resistance_ohm_per_m.lower


def test_conductor_bands_follow_the_rules_of_the_readme():
    iacs = 17.241e-3  # ohm mm2/m
    for row in LIBRARY.conductors.values():
        band, gauge = row.resistance_ohm_per_m, row.name.split()[0]
        nominal_area = row.area_mm2
        if row.system == "SAE":  # sold by gauge: the true AWG area is possible too
            nominal_area = LIBRARY.conductor(f"{gauge} AWG (AWG area)").area_mm2
        assert band.lower == pytest.approx(0.97 * iacs / nominal_area, rel=1e-3)
        if row.system == "AWG":
            assert band.upper == pytest.approx(1.08 * band.nominal, rel=1e-3)
        else:
            assert band.nominal == pytest.approx(1.02 * iacs / row.area_mm2, rel=1e-3)
        if row.system == "SAE":
            assert band.upper == pytest.approx(1.06 * iacs / row.area_min_mm2, rel=1e-3)


def test_ampacity_rises_with_class_and_with_size():
    for system in {row.system for row in LIBRARY.conductors.values()}:
        sizes = sorted(
            (row for row in LIBRARY.conductors.values() if row.system == system),
            key=lambda row: row.area_mm2,
        )
        smaller = dict.fromkeys(LIBRARY.insulations, 0.0)
        for size in sizes:
            last = 0.0
            for insulation in sorted(LIBRARY.insulations.values(), key=lambda r: r.temperature_c):
                row = LIBRARY.ampacity_row(size.name, insulation.name)
                assert row is not None
                assert row.current_a >= last
                assert row.current_a >= smaller[insulation.name]
                last = smaller[insulation.name] = row.current_a


def test_ampacity_of_a_class_not_listed_is_that_of_the_next_lower_one():
    assert LIBRARY.ampacity_row("16 AWG", "PVC 85").temperature_c == 80.0
    assert LIBRARY.ampacity_row("16 AWG", "unknown").temperature_c == 60.0


def test_engine_space_and_bundle_factors():
    assert LIBRARY.engine_space_factor("PVC 85").at == 80.0
    assert LIBRARY.bundle_factor(1).factor == 1.0
    with pytest.raises(LibraryError, match="does not exist"):
        LIBRARY.bundle_factor(0)


def test_opening_band_has_an_open_end_only_below_its_guaranteed_point():
    for band in LIBRARY.fuse_opening_bands.values():
        open_ended = [p for p, t in zip(band.percents, band.max_s, strict=True) if math.isinf(t)]
        assert open_ended == [band.holds_percent]
        assert band.holds_percent in (100.0, 110.0)
        assert band.opens_percent == 135.0
    for style in ("blade", "mini blade"):
        assert LIBRARY.fuse_opening_band(style).holds_percent == 110.0
        assert "600 s and 1800 s" in LIBRARY.fuse_opening_band(style).note


def test_mini_blade_has_no_rating_above_30_a():
    assert LIBRARY.fuse_ratings("mini blade")[-1] == 30.0
    assert LIBRARY.fuse_ratings("blade")[-1] == 40.0
    with pytest.raises(LibraryError, match=r"35 A mini blade"):
        LIBRARY.fuse("mini blade", 35.0)
    with pytest.raises(LibraryError, match="Did you mean 'mini blade'"):
        LIBRARY.fuse_ratings("minibladd")


def test_search_takes_words_in_any_order_and_puts_names_first():
    hits = LIBRARY.search("sealed 2.8")
    assert hits[0].name == "2.8 mm sealed"
    assert hits[0].table == "contacts"
    assert "resistance 700 uohm to 10 mohm, usually 1.5 mohm" in hits[0].values
    assert LIBRARY.search("") == []
    assert LIBRARY.search("no such words") == []
    assert {hit.table for hit in LIBRARY.search("iso-8820-3")} == {"fuse_opening_times", "limits"}


@pytest.mark.parametrize("words", ["5 A blade", "5A blade", "blade 5.0 a", "BLADE  5 A"])
def test_search_meets_a_number_whole(words):
    names = [hit.name for hit in LIBRARY.search(words)]
    assert names == ["5 A blade", "5 A mini blade"]


def test_search_knows_units_and_short_words():
    assert {hit.name for hit in LIBRARY.search("1.5 mm²")} == {
        hit.name for hit in LIBRARY.search("1.50mm2")
    }
    for hit in LIBRARY.search("12 V relay"):
        assert "12 V" in f"{hit.name} {hit.values} {hit.note}"
    assert LIBRARY.search("gold on tin")[0].name == "gold on tin"
    assert LIBRARY.search("gold on ti") == []


def test_values_are_shown_in_the_units_of_the_trade():
    fuse = LIBRARY.search("10 A blade")[0]
    assert "resistance 6.54 mohm to 12.5 mohm, usually 7.7 mohm" in fuse.values
    assert "breaking capacity 1 kA" in fuse.values
    coil = LIBRARY.search("medium valve coil, 12 V")[0]
    assert "pull in fraction 0.85" in coil.values
    assert "temperature class 180 degC" in coil.values
    limit = LIBRARY.search("voltage_drop_total_percent")[0]
    assert limit.values == ("10 %",)
    opening = LIBRARY.search("fuse_opening_times blade")[0]
    assert "max no limit, 30 min, 50 s, 5 s, 500 ms, 100 ms" in opening.values


@given(st.text(max_size=20))
def test_search_never_fails(words):
    assert isinstance(LIBRARY.search(words), list)


@pytest.mark.parametrize(
    ("name", "old", "new", "told"),
    [
        ("fuses.csv", "17.85", "17,85", r"fuses\.csv:6: has 15 columns, the head 14"),
        ("fuses.csv", "17.85", "abc", r"fuses\.csv:6, column cold_mohm: got 'abc', must be a num"),
        ("fuses.csv", "17.85", "nan", r"fuses\.csv:6, column cold_mohm: got 'nan', must be finite"),
        ("fuses.csv", "17.85", "-1", r"column cold_mohm: got -1, must be above 0"),
        ("fuses.csv", "17.85", "", r"column cold_mohm: is empty"),
        ("fuses.csv", "17.85,128", "17.85,20", r"column drop_at_rated_mv: hot resistance"),
        ("fuses.csv", "5 A blade,blade,5,", "5 A blade,blade,6,", r"column name: must be '6 A b"),
        ("conductors.csv", "16 AWG,", "18 AWG,", r"conductors\.csv:6, column name: '18 AWG' is"),
        ("conductors.csv", "1.12,1.184", "1.2,1.184", r"column area_min_mm2: got 1\.2, above"),
        ("conductors.csv", "12.78,14.85", "15.78,14.85", r"column resistance_mohm_per_m: band"),
        ("limits.csv", "abyc-e-11", "abyc", r"limits\.csv:2, column source: got 'abyc', not a"),
        ("limits.csv", "looked-up", "guessed", r"column how: got 'guessed', must be one of"),
        ("limits.csv", "name,value", "name,valeu", r"column value: is missing from the head"),
        ("limits.csv", ",unit,", ",unit,", None),
        ("contacts.csv", "connector,yes", "connector,maybe", r"column sealed: got 'maybe'"),
        ("coils.csv", ",0.85,", ",1.85,", r"column pull_in_fraction: got 1\.85, must be at most"),
        ("insulation.csv", "PVC 70,70,160", "PVC 70,70,60", r"column short_circuit_c: got 60"),
        (
            "supply.csv",
            "12 V charging,",
            "12 V on charge,",
            r"column name: must be '12 V charging'",
        ),
        ("fuse_opening_times.csv", "blade,200,0.15,5,", "blade,200,0.15,500,", r"must fall"),
        (
            "fuse_opening_times.csv",
            "blade,200,0.15,5,",
            "blade,160,0.15,5,",
            r"'blade' is repeated",
        ),
        ("ampacity.csv", "18 AWG,75,", "18 AWG,60,", r"'18 AWG' is repeated"),
    ],
)
def test_a_broken_cell_is_named(copy, name, old, new, told):
    change(copy, name, old, new)
    if told is None:
        assert read_library(copy).limits.keys() == LIBRARY.limits.keys()
        return
    with pytest.raises(LibraryError, match=told):
        read_library(copy)


def test_a_column_nobody_reads_is_refused(copy):
    lines = (copy / "limits.csv").read_text(encoding="utf-8").splitlines()
    lines = [lines[0] + ",colour"] + [line + ",red" for line in lines[1:]]
    (copy / "limits.csv").write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(LibraryError, match="column colour: is not a column of this table"):
        read_library(copy)


@pytest.mark.parametrize("name", [*CSV_FILES, "sources.toml"])
def test_a_missing_or_binary_file_is_named(copy, name):
    (copy / name).write_bytes(b"\xff\xfe\x00")
    with pytest.raises(LibraryError, match=name):
        read_library(copy)
    read_library.cache_clear()
    (copy / name).unlink()
    with pytest.raises(LibraryError, match=rf"{name} is missing"):
        read_library(copy)


def test_an_empty_table_is_refused(copy):
    head = (copy / "coils.csv").read_text(encoding="utf-8").splitlines()[0]
    (copy / "coils.csv").write_text(head + "\n", encoding="utf-8")
    with pytest.raises(LibraryError, match=r"coils\.csv has no row"):
        read_library(copy)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('known = "from memory"', 'known = "somehow"', "got 'somehow', must be one of"),
        ('author = "IEC"\n', "", "needs the texts"),
        ("[iec-60028]", "[iec-60028", "sources.toml"),
    ],
)
def test_a_broken_source_is_named(copy, old, new, told):
    change(copy, "sources.toml", old, new)
    with pytest.raises(LibraryError, match=told):
        read_library(copy)


def test_units_stand_in_every_number_column():
    units = {
        "mm2", "mm", "m", "c", "a", "v", "mv", "mohm", "ohm", "s", "a2s", "percent", "w", "mh",
        "ah", "fraction", "ratio", "percents",
    }  # fmt: skip
    plain = {
        "name", "system", "source", "how", "note", "style", "colour", "kind", "sealed", "plating",
        "factor", "duty", "state", "unit", "value", "conductors_from", "percent",
        "group", "side", "load", "contacts", "contact", "suppression", "body_is_return", "ratings",
        "exponent", "socket", "cavity", "function", "terminal", "size", "returns_for", "k_lead",
        "resistance_lower_factor", "resistance_factor", "resistance_upper_factor", "first",
        "second", "dry", "wet", "clip", "seal", "cut_out", "at", "supply", "full_scales", "counts",
        "digits",
    }  # fmt: skip
    for name in CSV_FILES:
        with (library_path() / name).open(encoding="utf-8", newline="") as file:
            head = next(csv.reader(file))
        for column in head:
            assert column in plain or column.rsplit("_", 1)[-1] in units, (name, column)
    units_of_limits = Counter(row.unit for row in LIBRARY.limits.values())
    assert set(units_of_limits) == {
        "%",
        "V",
        "1",
        "s",
        "h",
        "m",
        "mm2",
        "A",
        "degC",
        "K",
        "wires",
        "ohm",
        "W",
    }


def test_an_instrument_is_shown_in_words():
    lamp = next(hit for hit in LIBRARY.search("test lamp") if hit.name == "test lamp")
    assert "filament 5 W at 13.5 V, 2.7 ohm cold" in lamp.values
    meter = next(hit for hit in LIBRARY.search("digital voltmeter") if "cheap" not in hit.name)
    assert any("20 (0.5 % + 2 digits of 0.01)" in value for value in meter.values)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("0.2 2 20 200,2000", "20 2 0.2 200,2000", "full_scales: must rise"),
        ("0.5 0.5 0.5 0.8", "0.5 0.5 0.5", "full_scales: needs counts, and as many"),
        ("0.5 0.5 0.5 0.8", "0.5 0.5 x 0.8", "gain_percents: got '0.5 0.5 x 0.8'"),
        ("voltmeter,V,two", "voltmeter,A,two", "unit: got 'A', must be one of V"),
        ("click,observation", "clack,observation", "name: is no observation"),
        ("test lamp,lamp by eye", "test lamp,LED tester", "power_w: goes with a lamp by eye"),
        (",2,9,3,", ",9,2,3,", "bright_from_v: must not be below"),
        (",2,9,3,", ",2,9,50,", "mistaken_percent: must be below 50"),
        (",0.2,0.5,", ",0.2,,", "lead_ohm: and test_v go with an ohmmeter"),
        ("5,,,0.1,", "5,,,,", "zero_a: goes with a clamp"),
    ],
)
def test_a_broken_instrument_is_named(copy, old, new, told):
    change(copy, "instruments.csv", old, new)
    with pytest.raises(LibraryError, match=told):
        read_library(copy)
