"""The demonstration as a whole: every figure opens, every sum is somewhere, and no page asks more for more rows."""

import io
from datetime import date

import pytest
from django.core.management import call_command
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.books.queries.earning import bed_earnings
from ledger.books.queries.tracing import Tracing
from ledger.costing.queries import book, forget_books
from ledger.costing.queries.figures import opened
from ledger.facts.models import User
from ledger.facts.queries import today
from ledger.growing.models import Planting
from ledger.reckoning.book import total
from ledger.reckoning.sharing import MILLION
from ledger.sales.queries.income import income

pytestmark = pytest.mark.django_db
APART = {"plot", "place", "holding", "store", "pay", "material"}
SELLING = {"stall_day", "order", "sale", "job", "workshop"}


@pytest.fixture(scope="module")
def made(django_db_setup, django_db_blocker):
    """The book of the demonstration season, loaded once for this file and taken out again."""
    with django_db_blocker.unblock(), transaction.atomic():
        call_command("load_demo", stdout=io.StringIO(), stderr=io.StringIO())
        yield book(today())
        transaction.set_rollback(True)


def test_income_of_all_seasons_is_all_income(made):
    """What the rows of every season brought in, bunches bought in and hire beside them, is what was sold, to the millionth."""
    seasons = sorted({*Planting.objects.values_list("season", flat=True), *range(2020, today().year + 1)})
    rows = [row for season in seasons for row in bed_earnings(season, today())]

    tracing, lines = Tracing(made, today()), income(None, today())
    bought = [one.income for source, one in tracing.by_source.items() if source[0] == "bought"]
    nobodys = sum(line.net for line in lines if line.of_work and not line.movements and not line.partings) * MILLION

    whole = sum(row.income + row.figures.taken_off for row in rows)

    assert all(bought) and len(bought) == 2
    assert tracing.untraced.income == nobodys > 0
    assert whole + sum(bought) + nobodys == sum(line.net for line in lines) * MILLION


def test_traced_and_untraced_costs_are_all_that_was_spent(made):
    """What beds bore, and what rests with rooms, materials, overheads and unsold stalls, is every millionth entered."""
    tracing = Tracing(made, today())
    traced = sum(total(one.costs) for one in (*tracing.by_source.values(), tracing.untraced))
    sold_from = {line.spent_on for line in income(None, today())}
    nodes = made.graph.nodes.values()
    apart = [total(at.amounts) for node in nodes if node.key[0] in APART for at in node.standings]
    unsold = [total(node.own) for node in nodes if node.key[0] in SELLING and node.key[1] not in sold_from]

    assert traced + sum(apart) + sum(unsold) == made.spent


def test_every_figure_opens_and_every_list_adds_up(made):
    """For every node of every kind: what came, what kind and where it went are each what it carries."""
    for kind, number in made.graph.nodes:
        figure = opened(kind, number, today())
        assert figure is not None, (kind, number)
        for rows in ([*figure.direct, *figure.came_in], figure.layers, figure.went):
            assert sum(row.amount for row in rows) == figure.carried, (kind, number)


def test_one_page_of_every_kind_answers(made):
    """The page itself, for the node of each kind that has most to show."""
    client = signed_in()
    fullest = {}
    for node in sorted(made.graph.nodes.values(), key=lambda one: len(one.inflows) + len(one.outflows) + len(one.standings)):
        fullest[node.key[0]] = node.key
    for key in fullest.values():
        assert client.get(reverse("costing:node", args=key)).status_code == 200, key


def signed_in():
    """The owner's browser."""
    client = Client()
    client.force_login(User.objects.get(role="owner"), backend="django.contrib.auth.backends.ModelBackend")
    return client


def queries(client, name, **asked):
    """How many questions a page asks, its book read afresh."""
    forget_books()
    with CaptureQueriesContext(connection) as asked_of:
        assert client.get(reverse(name), asked).status_code == 200
    return len(asked_of)


@pytest.mark.parametrize(
    ("name", "small", "large"),
    [
        ("books:earnings", {"season": -1}, {"season": -2, "until": -1}),
        ("books:valuation", {"on": (8, 20)}, {"on": (12, 31)}),
        ("books:proof", {"on": (8, 20)}, {"on": (12, 31)}),
    ],
)
def test_pages_ask_no_more_for_more_rows(made, name, small, large):
    """Two seasons' plantings take no more queries than one's, and the whole no more than a day in August."""
    client, year = signed_in(), today().year

    def asked(given):
        return {key: year + value if key in {"season", "until"} else date(year - 1, *value) for key, value in given.items()}

    queries(client, name, **asked(large))
    assert queries(client, name, **asked(small)) >= queries(client, name, **asked(large))
