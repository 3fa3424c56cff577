"""The demonstration season held to its rules on every one of its days."""

import io
from datetime import date, timedelta

import pytest
from django.core.management import call_command
from django.db import transaction

from ledger.books.queries.places import places_on
from ledger.books.queries.proof import money_differences, prove
from ledger.books.queries.valuing import FLOWS, stock_value_of
from ledger.costing.queries import Bases, fresh_book
from ledger.growing.models import Planting
from ledger.reckoning.valuation import METHODS
from tests.reckoning.linear import differences

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def demonstration(django_db_setup, django_db_blocker):
    """The demonstration season, loaded once for this file and taken out again."""
    with django_db_blocker.unblock(), transaction.atomic():
        call_command("load_demo", stdout=io.StringIO(), stderr=io.StringIO())
        yield Planting.objects.order_by("on").first().on
        transaction.set_rollback(True)


@pytest.mark.parametrize("month", range(1, 13))
def test_both_sides_and_all_places_agree_on_every_day(demonstration, month):
    """For every method and day both sides of the stock account agree, and every minor unit is in one place."""
    year = last_season()
    bases = Bases()
    for on in days_of(year, month):
        made = fresh_book(on)
        assert list(money_differences(made, places_on(on, made))) == []
        for method in METHODS:
            valued = stock_value_of(made, bases, on=on, method=method, since=date(year, 1, 1))
            assert sum(valued.flows[name] for name in FLOWS[:4]) == sum(valued.flows[name] for name in FLOWS[4:])


def last_season():
    """The season of most plantings."""
    seasons = list(Planting.objects.values_list("season", flat=True))
    return max(set(seasons), key=seasons.count)


def days_of(year, month):
    """Every day of a month."""
    on = date(year, month, 1)
    while on.month == month:
        yield on
        on += timedelta(1)


def test_demonstration_proves(demonstration):
    """The season as it stands proves: quantities, papers, places."""
    assert prove().differences == []


def test_methods_differ_where_they_should(demonstration):
    """At the year's end traced, first in first out and the averages part ways, and all share one total made."""
    on = date(last_season(), 12, 31)
    made, bases = fresh_book(on), Bases()
    values = {method: stock_value_of(made, bases, on=on, method=method).flows for method in METHODS}

    assert len({flows["closing_cost"] for flows in values.values()}) == 4
    assert len({flows["made"] for flows in values.values()}) == 1


@pytest.mark.parametrize("month", range(1, 13))
def test_month_agrees_with_the_same_season_as_a_linear_system(demonstration, month):
    """Solved by numpy as own spending and plain shares, every node and place is within a millionth a parting."""
    *_, last = days_of(last_season(), month)

    assert differences(fresh_book(last)) == []
