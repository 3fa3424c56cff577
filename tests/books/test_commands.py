"""What the commands refuse in one sentence, and what they leave unsaid."""

import io
import json

import pytest
from django.core.management import CommandError, call_command

from ledger.growing.actions import undo_expectation
from tests.thread import spin_thread


def test_flows_cannot_begin_after_the_day_of_valuation(owner):
    """Flows since June for stock at the end of May is no question."""
    spin_thread(owner)

    with pytest.raises(CommandError, match="flows cannot begin on 2025-06-01"):
        call_command("stock_value", "--on", "2025-05-31", "--since", "2025-06-01")


def test_a_season_is_a_year(owner):
    """Neither nought nor beyond the calendar."""
    for season in ("0", "10000"):
        with pytest.raises(CommandError, match="is no season"):
            call_command("bed_earnings", "--season", season)


def test_a_line_is_called_by_its_number_or_name(owner):
    """A raised two is no number."""
    with pytest.raises(CommandError, match="No line is called"):
        call_command("cost_sheet", "²")


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "yesterday"])
def test_a_day_is_one_of_a_growers_lifetime(owner, day):
    """A day beyond all planting is refused before anything is reckoned."""
    with pytest.raises(CommandError, match=r"check the year|is not a day"):
        call_command("prove", "--on", day)


def test_what_cannot_be_said_yet_is_not_said_as_nought(owner):
    """A planting without an expectation, still growing, has no earnings yet, and the command claims none."""
    thread = spin_thread(owner, cleared=False)
    for expectation in thread.planting.expectations.standing():
        undo_expectation(by=owner, expectation=expectation)
    out = io.StringIO()
    call_command("bed_earnings", "--on", "2024-08-01", "--json", stdout=out)
    (row,) = json.loads(out.getvalue())["rows"]

    assert (row["standing"], row["income"], row["cost"]) == ("cannot say yet", "0.00", "124.00")
    assert {row[name] for name in ("earned", "contribution", "per_m2", "per_m2_week", "per_hour", "unsold")} == {None}
