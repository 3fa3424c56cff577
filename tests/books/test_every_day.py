"""The demonstration held to its rules on every day of both seasons."""

import io
from calendar import isleap
from datetime import date, timedelta

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


@pytest.mark.parametrize("season", range(2))
def test_all_cost_is_in_one_place_on_every_day(demonstration, season):
    """For money spent and for full cost, what was entered is what rests in all places, on every day of both seasons."""
    for on in days_of(demonstration + season):
        made = fresh_book(on)
        assert list(money_differences(made, places_on(on, made))) == [], on


@pytest.mark.parametrize("season", range(2))
def test_both_sides_of_the_stock_account_agree(demonstration, season):
    """By every method, on each seventh day and the last of the year, what came in is what went out and is left."""
    days = days_of(demonstration + season)
    for on in [*days[::7], days[-1]]:
        made = fresh_book(on)
        for method in METHODS:
            flows = stock_value_of(made, Bases(on), on=on, method=method, since=date(on.year, 1, 1)).flows
            assert sum(flows[name] for name in FLOWS[:4]) == sum(flows[name] for name in FLOWS[4:]), (on, method)


def days_of(year):
    """Every day of a year."""
    return [date(year, 1, 1) + timedelta(day) for day in range(365 + isleap(year))]


def test_demonstration_proves(demonstration):
    """The ledger as it stands proves: quantities, papers, places."""
    assert prove().differences == []


def test_methods_differ_where_they_should(demonstration):
    """At the year's end traced, first in first out and the averages part ways; what was made anew cost the same by all.

    Goods made up of bunches cost what these did by the method, so what they drew is taken off.
    """
    on = date(demonstration + 1, 12, 31)
    made, bases = fresh_book(on), Bases(on)
    values = {method: stock_value_of(made, bases, on=on, method=method).flows for method in METHODS}

    assert len({flows["closing_cost"] for flows in values.values()}) == 4
    assert len({flows["made"] - flows["made_up"] for flows in values.values()}) == 1


@pytest.mark.parametrize("season", range(2))
def test_season_agrees_with_itself_as_a_linear_system(demonstration, season):
    """Solved by numpy as own spending and plain shares, at the end of every quarter and in high summer, all agrees."""
    for month, day in ((3, 31), (6, 30), (7, 20), (8, 10), (9, 30), (12, 31)):
        assert differences(fresh_book(date(demonstration + season, month, day))) == [], (month, day)
