"""A list of more rows than are counted: its leaves have no last number, and all can be reached."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.facts import leaves
from ledger.facts.actions import add_person

PEOPLE = 99


@pytest.fixture
def page(owner, client_as, monkeypatch):
    """The list of a hundred people, of whom fifty are counted."""
    monkeypatch.setattr(leaves, "MOST", 50)
    for number in range(PEOPLE):
        add_person(by=owner, username=f"hand-{number:02}", password="teasel-and-honesty", role="hand")
    client = client_as(owner)
    return lambda number: client.get(reverse("facts:people"), {"page": number})


def names(answer):
    """The people on the leaf, in order."""
    return [row.record.username for row in answer.context["table"].page]


def test_every_row_is_on_one_leaf(page):
    """Numbered leaves and those beyond hold everybody once, and the last has none after it."""
    leaf = {number: page(number) for number in range(1, 5)}
    found = [name for answer in leaf.values() for name in names(answer)]

    assert sorted(found) == [*(f"hand-{number:02}" for number in range(PEOPLE)), "owner"]
    assert [answer.context["table"].page.has_next() for answer in leaf.values()] == [True, True, True, False]


def test_the_leaf_says_that_there_are_more(page):
    """No number of leaves is given that was not counted, and the next leaf has its link."""
    said = page(2).content.decode()

    assert "Leaf 2, more than 50 rows" in said and 'rel="next" href="?page=3"' in said


@pytest.mark.parametrize("number", [5, 99_999_999, 10**15, 0, "x"])
def test_a_leaf_beyond_all_rows_gives_the_nearest_counted(page, number):
    """A wrong number in the address breaks nothing."""
    assert names(page(number))[0] == ("hand-00" if number == "x" else "hand-25")


def test_no_more_rows_are_counted_than_are_numbered(page):
    """The database stops counting at the first row too many."""
    with CaptureQueriesContext(connection) as asked:
        page(1)
    counts = [one["sql"] for one in asked if "COUNT(" in one["sql"]]

    assert len(counts) == 1 and "LIMIT 51" in counts[0]
