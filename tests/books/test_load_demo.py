"""The demonstration: what it holds, and that its second season is always the latest finished one."""

import io
from datetime import date

import pytest
from django.core.management import CommandError, call_command

from grower.settings import ROOT
from ledger.books.bringing import KINDS, last_day, read_folder
from ledger.books.bringing.columns import BadCell, years_later
from ledger.books.bringing.demonstration import years_to_move
from ledger.books.bringing.reading import read_all
from ledger.books.bringing.rows import Row
from ledger.books.management.commands.load_demo import Command

FILES = read_folder(ROOT / "fixtures" / "demo")


def test_the_way_is_told_in_ten_steps():
    """Each tenth of the records is told once, with the day it has come to; the last is all of them."""
    said, row = io.StringIO(), Row(KINDS["sales"], 2, {"on": date(2025, 7, 12)})
    command = Command(stdout=said)
    for looked_at in range(1, 1234):
        command.tell(looked_at, 1233, row)

    lines = said.getvalue().splitlines()
    assert len(lines) == 10
    assert lines[0] == "124 of 1233 records, up to 2025-07-12"
    assert lines[-1] == "1233 of 1233 records, up to 2025-07-12"


@pytest.mark.django_db
def test_the_demonstration_is_for_an_empty_ledger(owner):
    """A ledger in use is left as it is."""
    with pytest.raises(CommandError, match="empty ledger"):
        call_command("load_demo")


@pytest.mark.django_db
@pytest.mark.parametrize("shift", [-1, 3], ids=["2024, a leap year", "2028, a leap year"])
def test_the_demonstration_can_be_moved_to_any_year(shift):
    """Every day of it moves together and still is a day."""
    reading = read_all(FILES, shift)
    days = [row.on for row in reading.rows if row.on]

    assert reading.faults == []
    assert last_day(FILES).year == 2025
    assert max(days).year == 2025 + shift


@pytest.mark.parametrize(
    ("on", "years"), [(date(2026, 1, 1), 0), (date(2026, 12, 31), 0), (date(2027, 1, 1), 1), (date(2025, 12, 31), -1)]
)
def test_the_last_season_becomes_the_latest_finished_one(on, years):
    """A season that is not over yet is no demonstration of a year's end."""
    assert years_to_move(date(2025, 12, 31), on) == years


def test_the_last_of_february_stays_in_february():
    """29 February moved to a common year is the 28th."""
    assert years_later(date(2024, 2, 29), 1) == date(2025, 2, 28)
    assert years_later(date(2024, 2, 29), 4) == date(2028, 2, 29)


def test_a_day_beyond_the_calendar_is_refused():
    """There is no year ten thousand."""
    with pytest.raises(BadCell):
        years_later(date(9999, 1, 1), 1)
