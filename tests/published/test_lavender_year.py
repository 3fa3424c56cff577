"""The published lavender year of 230 bundles, brought in from plain files and read back through the commands.

Source: lavender cost table credited to Colorado State University, in a slide
deck on making lavender pay, Erie Innovation and Commercialization (Ontario),
undated: second year, one row. Labour at 10.25 an hour; cost 562.25, income
920.00, net return 357.75. Marketing hours are selling. Counts the source does
not print are marked as invented in the folder's own notes.
"""

import io
import json
from pathlib import Path

import pytest
from django.core.management import call_command

from ledger.stock.models import Line

HERE = Path(__file__).parent


def answer(name, *words):
    """What a command prints with --json."""
    out = io.StringIO()
    call_command(name, *words, "--json", stdout=out)
    return json.loads(out.getvalue())


@pytest.fixture
def lavender(db):
    """The published year alone."""
    call_command("bring_in", str(HERE / "lavender"), stdout=io.StringIO())


@pytest.fixture
def established(db):
    """The same year with the published establishing cost of 2,627.00 over eight productive seasons."""
    call_command("bring_in", str(HERE / "lavender_established"), stdout=io.StringIO())


def test_bed_earnings_read_back_the_published_year(lavender):
    """Cost 562.25, income 920.00, earned 357.75."""
    (row,) = answer("bed_earnings")["rows"]

    assert (row["cost"], row["income"], row["earned"]) == ("562.25", "920.00", "357.75")
    assert (row["m2"], row["hours"]) == ("37.16", "49.00")


def test_cost_sheet_reads_back_the_published_cost(lavender):
    """Full cost of 230 bundles by the stall is 562.25, of which 30.75 is marketing; 2.44 a bundle."""
    sheet = answer("cost_sheet", str(Line.objects.get().pk))
    (stall,) = [one for one in sheet["proposals"] if one["full_cost_all"]]

    assert (sheet["stock_cost_all"], stall["full_cost_all"]) == ("531.50", "562.25")
    assert (sheet["stock_cost"], stall["full_cost"]) == ("2.31", "2.44")


def test_the_published_year_proves(lavender):
    """All 562.25 is cost of sales: nothing is left anywhere else."""
    proof = answer("prove")

    assert proof["ok"]
    assert {place: row["paid"] for place, row in proof["places"].items() if row["paid"] != "0.00"} == {"cost of sales": "562.25"}


def test_nothing_is_left_in_stock(lavender):
    """All bundles were sold: 531.50 made, 531.50 sold, nothing to value."""
    value = answer("stock_value", "--on", "2026-10-31")

    assert (value["made"], value["sold"], value["closing_cost"], value["value"]) == ("531.50", "531.50", "0.00", "0.00")


def test_establishing_cost_is_borne_over_its_seasons(established):
    """With 2,627.00 / 8 = 328.375 of establishing cost the year earns 29.375, in whole cents 29.37 or 29.38."""
    (row,) = answer("bed_earnings")["rows"]

    assert row["income"] == "920.00"
    assert row["cost"] == "890.63"
    assert row["earned"] == "29.37"
    assert row["hours"] == "49.00"
