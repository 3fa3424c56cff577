"""Lists: sorted, turned over leaf by leaf, sifted."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.facts.actions import add_person


@pytest.fixture
def many(owner):
    """Thirty hands beside the owner."""
    for number in range(30):
        add_person(by=owner, username=f"hand-{number:02}", password="teasel-and-honesty", role="hand")


def names(page):
    """The people on the leaf, in order."""
    return [row.record.username for row in page.context["table"].page]


@pytest.mark.parametrize(("leaf", "first", "last"), [("1", "hand-00", "hand-24"), ("2", "hand-25", "owner")])
def test_a_list_is_turned_over_leaf_by_leaf(owner, many, client_as, leaf, first, last):
    """Twenty-five rows to a leaf."""
    found = names(client_as(owner).get(reverse("facts:people"), {"page": leaf}))

    assert (found[0], found[-1]) == (first, last)


@pytest.mark.parametrize(("leaf", "first"), [("none", "hand-00"), ("99", "hand-25"), ("-1", "hand-25")])
def test_a_leaf_that_is_not_there_gives_the_nearest(owner, many, client_as, leaf, first):
    """A wrong number in the address breaks nothing."""
    assert names(client_as(owner).get(reverse("facts:people"), {"page": leaf}))[0] == first


def test_a_list_is_sorted_by_its_heads(owner, many, client_as):
    """Ties keep one order, so that no row is missed between leaves."""
    client, address = client_as(owner), reverse("facts:people")
    by_role = [*names(client.get(address, {"sort": "role"})), *names(client.get(address, {"sort": "role", "page": 2}))]

    assert names(client.get(address, {"sort": "-username"}))[0] == "owner"
    assert len(set(by_role)) == 31


def test_a_list_is_sifted(owner, many, client_as):
    """Only what was asked for is shown, and the form says what was asked."""
    page = client_as(owner).get(reverse("facts:people"), {"role": "owner"})

    assert names(page) == ["owner"]
    assert '<details class="sift" open>' in page.content.decode()


def test_a_list_asks_the_database_the_same_number_of_times(owner, client_as):
    """Twenty more rows cost no more queries."""
    client = client_as(owner)
    few = queries_of(client)
    for number in range(20):
        add_person(by=owner, username=f"hand-{number:02}", password="teasel-and-honesty", role="hand")

    assert queries_of(client) == few


def queries_of(client):
    """How often the list of people asks the database."""
    with CaptureQueriesContext(connection) as asked:
        client.get(reverse("facts:people"))
    return len(asked)
