"""The published lavender budgets in one ledger: start-up cost, first and second year of one row.

Sources: lavender cost table credited to Colorado State University, in a slide
deck on making lavender pay, Erie Innovation and Commercialization (Ontario),
undated: start-up 2,627.00 in eight lines; first year -9.30; second year
357.75. Eight productive seasons: budget analysis for lavender farming in
Delaware, Delaware State University. What is invented the folder's own notes say.
"""

import csv
import io
import json
from pathlib import Path

import pytest
from django.core.management import call_command

HERE = Path(__file__).parent
START_UP = ["1800.00", "150.00", "25.00", "100.00", "250.00", "85.00", "92.00", "125.00"]


def answer(name, *words):
    """What a command prints with --json."""
    out = io.StringIO()
    call_command(name, *words, "--json", stdout=out)
    return json.loads(out.getvalue())


def paid_in(on):
    """What was paid by a day, by place of the proof, nil left out."""
    proof = answer("prove", "--on", on)
    assert proof["ok"]
    return {place: row["paid"] for place, row in proof["places"].items() if row["paid"] != "0.00"}


@pytest.fixture
def lavender(db):
    """The row from its planting to the end of its second year."""
    call_command("bring_in", str(HERE / "lavender_from_start"), stdout=io.StringIO())


def test_the_eight_lines_are_entered_as_published():
    """The folder's bill repeats every printed line of the start-up cost."""
    with (HERE / "lavender_from_start" / "purchase_lines.csv").open(encoding="utf-8") as rows:
        assert [row["net"] for row in csv.DictReader(rows) if row["purchase"] == "start"] == START_UP


def test_start_up_cost_stands_in_the_plants(lavender):
    """Before the first season all 2,627.00 is carried by the plants."""
    assert paid_in("2023-12-31") == {"plants": "2627.00"}


def test_each_year_bears_an_eighth_of_the_start_up_cost(lavender):
    """-9.30 and 357.75 less 328.375 each: -337.675 and 29.375, in whole cents within one."""
    (first,), (second,) = (answer("bed_earnings", "--season", year)["rows"] for year in ("2024", "2025"))

    assert (first["income"], first["cost"], first["earned"]) == ("460.00", "797.68", "-337.68")
    assert (second["income"], second["cost"], second["earned"]) == ("920.00", "890.63", "29.37")


def test_what_is_left_of_the_start_up_cost_stays_in_the_plants(lavender):
    """After two of eight seasons 1,970.25 is left; the rest, with both years' cost, is cost of sales: 1,688.30."""
    assert paid_in("2025-12-31") == {"cost of sales": "1688.30", "plants": "1970.25"}
