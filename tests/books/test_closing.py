"""Closing a year, and what later facts put right."""

from datetime import date

import pytest

from ledger.books.actions import close_year, reopen_year
from ledger.books.models import ClosedLine, ClosedPlace
from ledger.books.queries.places import PUT_RIGHT, places_on
from ledger.books.queries.proof import prove
from ledger.books.queries.valuing import stock_value
from ledger.daybook import actions as daybook
from ledger.drying import actions as drying
from ledger.facts.models import CostKind
from ledger.growing import actions as growing
from ledger.stock import actions as stock
from ledger.stock.models import Line
from tests.refusals import refused
from tests.thread import plant, spin_thread

YEAR_END = date(2024, 12, 31)
NEXT_DAY = date(2025, 1, 5)


def spend(owner, planting, on, amount):
    """So much on a planting, in minor units."""
    line = daybook.BoughtLine("compost", CostKind.objects.get(code="inputs"), amount, 0, [(planting.cost_object, 1)])
    daybook.record_purchase(by=owner, on=on, supplier="Merchant", lines=[line])


def bunch_all(owner, planting, place, on, stems):
    """Stems cut, hung, taken down and bunched in one day, one stem a bunch."""
    lot = growing.cut(by=owner, planting=planting, on=on, stage="full", stems=stems)
    hanging = drying.hang(by=owner, lot=lot, on=on, place=place, stems=stems)
    drying.take_down(by=owner, hanging=hanging, on=on, stems=stems)
    line = Line.objects.first() or stock.add_line(
        by=owner, variety=planting.variety, colour="", grade="firsts", finish="natural", unit="bunch", stems=1
    )
    stock.make_run(by=owner, on=on, inputs=[(hanging, stems)], outputs=[stock.Output(line=line, made=stems)])
    return line


def case_twenty(owner):
    """1,000 stems expected, 100.00 spent, 500 cut of which 400 sold; the season runs on into the next year."""
    planting = plant(owner, expected=1000)
    spend(owner, planting, date(2024, 6, 1), 10000)
    place = drying.add_place(by=owner, name="Loft", unit="hooks", room=50)
    line = bunch_all(owner, planting, place, date(2024, 9, 1), 500)
    stock.sell_bunches(by=owner, on=date(2024, 10, 1), line=line, bunches=400)
    return planting, place


@pytest.fixture
def long_season(holding):
    """A season that runs from April to March, across the year's end."""
    holding.season_first_month = 4
    holding.save()


def test_close_and_what_later_facts_put_right(owner, long_season):
    """Hand-worked case 20: 33.33 put right, 8.33 added to the held, 18.33 in the late stems."""
    planting, place = case_twenty(owner)
    close_year(by=owner, on=YEAR_END)
    spend(owner, planting, NEXT_DAY, 1000)
    bunch_all(owner, planting, place, date(2025, 2, 1), 100)
    growing.clear(by=owner, planting=planting, on=date(2025, 3, 1))
    places = places_on(date(2025, 3, 31))
    valued = stock_value(date(2025, 3, 31), since=date(2025, 1, 1), method="traced")

    assert round(places[PUT_RIGHT].paid / 10**8, 2) == 33.33
    assert round(places["cost of sales"].paid / 10**8, 2) == 40.00
    assert round(places["boxed"].paid / 10**8, 2) == 36.67
    assert (valued.flows["opening"], round(valued.put_right / 10**8, 2)) == (10 * 10**8, 8.33)


def test_closed_days_take_nothing_more(owner):
    """A day in a closed year is refused with the day it is closed to; the day after is open."""
    thread = spin_thread(owner)
    close_year(by=owner, on=YEAR_END)

    with refused("closed"):
        spend(owner, thread.planting, YEAR_END, 100)
    spend(owner, thread.planting, date(2025, 1, 1), 100)


def test_closed_facts_cannot_be_undone(owner):
    """Undoing an entry of a closed year would change it: refused."""
    thread = spin_thread(owner)
    close_year(by=owner, on=YEAR_END)

    with refused("closed"):
        daybook.undo_work(by=owner, entry=thread.worker.entries.order_by("pk").last())


def test_only_a_years_last_day_closes_it(owner):
    """A day within a year, a year not over and a year closed already are refused."""
    with refused("not_a_year_end"):
        close_year(by=owner, on=date(2024, 6, 30))
    with refused("not_over"):
        close_year(by=owner, on=date(2026, 12, 31))
    close_year(by=owner, on=YEAR_END)
    with refused("closed"):
        close_year(by=owner, on=date(2023, 12, 31))


def test_latest_year_can_be_opened_again(owner):
    """Opening the latest closed year lets its days be entered; an earlier one waits for it."""
    thread = spin_thread(owner)
    first = close_year(by=owner, on=YEAR_END)
    second = close_year(by=owner, on=date(2025, 12, 31))

    with refused("rested_on"):
        reopen_year(by=owner, close=first)
    reopen_year(by=owner, close=second)
    reopen_year(by=owner, close=first)
    spend(owner, thread.planting, YEAR_END, 100)


@pytest.mark.unproved
def test_changed_line_of_a_closed_year_is_named(owner):
    """By SQL, a closed year's line, place or batch that was changed makes the proof name it."""
    spin_thread(owner)
    close_year(by=owner, on=YEAR_END)
    line = ClosedLine.objects.get(method="fifo")
    ClosedLine.objects.filter(pk=line.pk).update(cost=1)
    place = ClosedPlace.objects.first()
    ClosedPlace.objects.filter(pk=place.pk).update(paid=1)

    found = prove().differences
    assert any(f"closed line {line.pk} " in one for one in found)
    assert any(f"closed place {place.pk} " in one for one in found)
