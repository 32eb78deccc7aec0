"""Every printed value against ours in one table (shown by `pytest -s`), and what is covered."""

from pathlib import Path

import circuitcheck.formulas

NOT_PHYSICS = {"__init__", "batch"}


def test_every_deviation_is_within_its_tolerance(all_comparisons):
    print()
    print(f"{'held':24} {'value':48} {'source':30} {'printed':>9} {'ours':>12} {'deviation':>11}")
    for c in all_comparisons:
        print(
            f"{c.held:24} {c.what[:48]:48} {c.source:30} {c.printed:>9} "
            f"{c.ours:12.6g} {c.deviation:+11.2g}  within {c.allowed:.2g}: {c.why}"
        )
    print(f"{len(all_comparisons)} printed values")
    assert len(all_comparisons) > 250
    assert not [c for c in all_comparisons if not c.is_within]


def test_tolerances_are_far_smaller_than_the_values(all_comparisons):
    # the coarsest print is one digit, `0.1 s` or `4 %`: half a unit is at most half the value
    one_digit = [c for c in all_comparisons if c.allowed > 0.051 * abs(float(c.printed))]
    assert all(len(c.printed.replace("0.", "").strip("0")) == 1 for c in one_digit)
    assert all(abs(c.deviation) <= 0.051 * abs(float(c.printed)) for c in all_comparisons)


def test_every_source_named_is_listed(all_comparisons, library):
    assert {c.source for c in all_comparisons} <= set(library.sources)


def test_every_library_table_and_every_formula_is_held_against_a_printed_value(
    all_comparisons, library
):
    held = {c.held for c in all_comparisons}
    modules = {path.stem for path in Path(circuitcheck.formulas.__path__[0]).glob("*.py")}
    # What is common practice in every row has no printed value to be held against.
    wanted = {
        name for name, rows in library.tables() if any(row.how != "common practice" for row in rows)
    }
    wanted |= {f"formula {name}" for name in modules - NOT_PHYSICS}
    assert wanted <= held
