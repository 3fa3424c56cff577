"""The demonstration held to its rules on every day of both seasons."""

import io
from calendar import monthrange
from datetime import date

import pytest
from django.core.management import call_command
from django.db import transaction

from ledger.books.queries.places import places_on
from ledger.books.queries.proof import money_differences, prove
from ledger.books.queries.valuing import FLOWS, stock_value_of
from ledger.costing.queries import Bases, fresh_book
from ledger.facts.queries import today
from ledger.reckoning.valuation import METHODS
from tests.reckoning.linear import differences

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def demonstration(django_db_setup, django_db_blocker):
    """The demonstration, loaded once for this file and taken out again; its first season's year."""
    with django_db_blocker.unblock(), transaction.atomic():
        call_command("load_demo", stdout=io.StringIO(), stderr=io.StringIO())
        yield today().year - 2
        transaction.set_rollback(True)


@pytest.mark.parametrize("month", range(24))
def test_all_cost_is_in_one_place_on_every_day(demonstration, month):
    """For money spent and for full cost, what was entered is what rests in all places, on every day of both seasons."""
    for on in days_of(demonstration, month):
        made = fresh_book(on)
        assert list(money_differences(made, places_on(on, made))) == [], on


@pytest.mark.parametrize("month", range(24))
def test_both_sides_of_the_stock_account_agree(demonstration, month):
    """By every method, on each tenth day and the last of every month, what came in is what went out and is left."""
    days = days_of(demonstration, month)
    for on in [*days[::10], days[-1]]:
        made = fresh_book(on)
        for method in METHODS:
            flows = stock_value_of(made, Bases(on), on=on, method=method, since=date(on.year, 1, 1)).flows
            assert sum(flows[name] for name in FLOWS[:4]) == sum(flows[name] for name in FLOWS[4:]), (on, method)


def days_of(first_year, month):
    """Every day of a month, counted from the first January."""
    year, month = first_year + month // 12, month % 12 + 1
    return [date(year, month, day + 1) for day in range(monthrange(year, month)[1])]


def test_demonstration_proves(demonstration):
    """The ledger as it stands proves: quantities, papers, places."""
    assert prove().differences == []


def test_methods_differ_where_they_should(demonstration):
    """At the year's end traced, first in first out and the averages part ways, and all share one total made."""
    on = date(demonstration + 1, 12, 31)
    made, bases = fresh_book(on), Bases(on)
    values = {method: stock_value_of(made, bases, on=on, method=method).flows for method in METHODS}

    assert len({flows["closing_cost"] for flows in values.values()}) == 4
    assert len({flows["made"] for flows in values.values()}) == 1


@pytest.mark.parametrize("month", range(24))
def test_month_agrees_with_the_same_season_as_a_linear_system(demonstration, month):
    """Solved by numpy as own spending and plain shares, every node and place is within a millionth a parting."""
    *_, last = days_of(demonstration, month)

    assert differences(fresh_book(last)) == []
