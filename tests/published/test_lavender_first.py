"""The published first lavender year of 115 bundles, brought in from plain files and read back through the commands.

Source: lavender cost table credited to Colorado State University, in a slide
deck on making lavender pay, Erie Innovation and Commercialization (Ontario),
undated: first year, one row. Printed lines add up to a cost of 469.30; income
460.00, net return -9.30. Two lines print 61.15 where 6 hours at 10.25 are
61.50: entered as bills they give the printed totals, entered as hours 470.00
and -10.00. What the source does not print is marked as invented in the
folders' own notes.
"""

import io
import json
import shutil
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
def as_printed(db):
    """The published year, its two slips entered as bills."""
    call_command("bring_in", str(HERE / "lavender_first"), stdout=io.StringIO())


@pytest.fixture
def by_hours(db, tmp_path):
    """The same year with all labour entered as hours."""
    for folder in ("lavender_first", "lavender_first_hours"):
        shutil.copytree(HERE / folder, tmp_path, dirs_exist_ok=True)
    call_command("bring_in", str(tmp_path), stdout=io.StringIO())


def test_bed_earnings_read_back_the_published_loss(as_printed):
    """Cost 469.30, income 460.00, earned -9.30; of the 40 hours 28 are noted as hours."""
    (row,) = answer("bed_earnings")["rows"]

    assert (row["cost"], row["income"], row["earned"]) == ("469.30", "460.00", "-9.30")
    assert (row["m2"], row["hours"]) == ("37.16", "28.00")


def test_cost_sheet_reads_back_the_published_cost(as_printed):
    """Full cost of 115 bundles by the stall is 469.30, 4.08 a bundle, of which 20.50 is marketing."""
    sheet = answer("cost_sheet", str(Line.objects.get().pk))
    (stall,) = [one for one in sheet["proposals"] if one["full_cost_all"]]

    assert (sheet["stock_cost_all"], stall["full_cost_all"]) == ("448.80", "469.30")
    assert (sheet["stock_cost"], stall["full_cost"]) == ("3.90", "4.08")


def test_unsold_bundles_are_written_down_by_the_published_loss(as_printed):
    """On the eve of the market 448.80 of stock will fetch 460.00 less 20.50 of selling: 9.30 is written down."""
    value = answer("stock_value", "--on", "2025-09-05")

    assert (value["closing_cost"], value["write_down"], value["value"]) == ("448.80", "9.30", "439.50")


def test_printed_cost_is_all_cost_of_sales(as_printed):
    """All 469.30 that was paid is cost of sales: nothing is left anywhere else."""
    proof = answer("prove")

    assert proof["ok"]
    assert {place: row["paid"] for place, row in proof["places"].items() if row["paid"] != "0.00"} == {"cost of sales": "469.30"}


def test_hours_at_the_printed_rate_cost_seventy_cents_more(by_hours):
    """Six hours are 61.50 and not 61.15, twice: cost 470.00, earned -10.00, 40 hours in all."""
    (row,) = answer("bed_earnings")["rows"]

    assert (row["cost"], row["income"], row["earned"]) == ("470.00", "460.00", "-10.00")
    assert row["hours"] == "40.00"
