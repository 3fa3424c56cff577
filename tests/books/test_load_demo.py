"""The demonstration: what it holds, and that its second season is always the latest finished one."""

import csv
import io
from datetime import date

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction

from grower.settings import ROOT
from ledger.books.bringing import KINDS, last_day, read_folder
from ledger.books.bringing.columns import BadCell, years_later
from ledger.books.bringing.demonstration import years_to_move
from ledger.books.bringing.reading import read_all
from ledger.books.bringing.rows import Row
from ledger.books.management.commands.load_demo import Command
from ledger.books.models import YearClose
from ledger.daybook.models import Purchase, WorkEntry
from ledger.drying.models import Disaster, Hanging
from ledger.facts.models import User
from ledger.facts.queries import today
from ledger.growing.models import Bed, Lot, Planting, Plot, Species, Variety
from ledger.sales.models import Order, StallDay
from ledger.stock.models import Box, Run

FILES = read_folder(ROOT / "fixtures" / "demo")


SIZE = {
    "beds": (Bed, 20), "species": (Species, 16), "varieties": (Variety, 24), "lots": (Lot, 290), "hangings": (Hanging, 260),
    "runs": (Run, 250), "orders": (Order, 50), "stall_days": (StallDay, 28), "work": (WorkEntry, 1300),
    "purchases": (Purchase, 100),
}


def rows_of(file):
    """The rows of one file, read with nothing of the program's own."""
    return list(csv.DictReader(io.StringIO(FILES[f"{file}.csv"].decode())))


@pytest.fixture(scope="module")
def loaded(django_db_setup, django_db_blocker):
    """What the command said, the demonstration loaded once for this file and taken out again."""
    said = io.StringIO()
    with django_db_blocker.unblock(), transaction.atomic():
        call_command("load_demo", stdout=said)
        yield said.getvalue()
        transaction.set_rollback(True)


@pytest.mark.django_db
@pytest.mark.parametrize("file", SIZE)
def test_the_demonstration_is_two_full_seasons(loaded, file):
    """Every row of the files is there, and there are about as many as two full seasons have."""
    model, least = SIZE[file]

    assert model.objects.count() == len(rows_of(file)) >= least


@pytest.mark.django_db
def test_the_demonstration_says_how_far_it_has_come(loaded):
    """Ten steps and a last line with the number of files."""
    lines = loaded.splitlines()

    assert len(lines) == 11
    assert f"{sum(len(rows_of(name[:-4])) for name in FILES)} rows of {len(FILES)} files" in lines[-1]


@pytest.mark.django_db
def test_the_demonstration_has_what_a_holding_has(loaded):
    """Three kinds of plot, boxes apart from parcels, people without passwords, disasters in both seasons."""
    assert set(Plot.objects.values_list("kind", flat=True)) == set(Plot.Kind.values)
    assert Box.objects.filter(parcel=False).count() == len(rows_of("boxes"))
    assert {one.on.year - today().year for one in Disaster.objects.all()} == {-1, -2}
    assert sorted(User.objects.values_list("role", flat=True)) == ["bookkeeper", "hand", "owner", "seller"]
    assert not any(user.has_usable_password() for user in User.objects.all())


@pytest.mark.django_db
def test_the_last_season_is_the_latest_finished_one(loaded):
    """Stems were cut last year and the year before, something grows for this year, and the first year is closed."""
    years = {lot.on.year - today().year for lot in Lot.objects.all()}

    assert years == {-1, -2}
    assert Planting.objects.filter(season=today().year).exists()
    assert [close.on for close in YearClose.objects.standing()] == [date(today().year - 2, 12, 31)]


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
