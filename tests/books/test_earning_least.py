"""The fewest stems to judge by: set, taken back, and what they keep from being ranked."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from ledger.books.actions import set_least_stems, undo_least_stems
from ledger.books.models import LeastStems
from ledger.books.queries.ranking import least_stems_on
from tests.books.test_pages import sell_ten
from tests.filling import fill
from tests.refusals import refused
from tests.thread import spin_thread

JANUARY, JUNE = date(2024, 1, 1), date(2024, 6, 1)


def test_the_latest_set_by_the_day_holds(owner):
    """None before any; 50 from January, 200 from June."""
    set_least_stems(by=owner, on=JANUARY, stems=50)
    set_least_stems(by=owner, on=JUNE, stems=200)

    assert [least_stems_on(day) for day in (date(2023, 12, 31), JANUARY, date(2024, 5, 31), JUNE)] == [None, 50, 50, 200]


def test_taken_back_the_one_before_holds_again(owner):
    """Once, and no second time."""
    set_least_stems(by=owner, on=JANUARY, stems=50)
    later = set_least_stems(by=owner, on=JUNE, stems=200)
    undo_least_stems(by=owner, least_stems=later)

    assert least_stems_on(JUNE) == 50
    with refused("already_undone"):
        undo_least_stems(by=owner, least_stems=later)


@pytest.mark.parametrize(("stems", "code"), [(0, "min_value"), (1_000_001, "max_value")])
def test_none_and_beyond_belief_are_refused(owner, stems, code):
    """At least one, at most a million."""
    with refused(code):
        set_least_stems(by=owner, on=JANUARY, stems=stems)


def test_a_second_press_sets_it_once(owner):
    """The same key gives the same row."""
    first, second = (set_least_stems(by=owner, on=JANUARY, stems=50, key="one") for _press in range(2))

    assert first == second
    assert LeastStems.objects.count() == 1


def test_a_hand_may_not(hand):
    """It is a matter of the books."""
    with pytest.raises(PermissionDenied):
        set_least_stems(by=hand, on=JANUARY, stems=50)


def test_set_and_taken_back_on_pages(owner, client_as):
    """Set on its page, listed, undone on its page; the earnings page says which holds."""
    sell_ten(owner, spin_thread(owner))
    client, earnings = client_as(owner), reverse("books:earnings")
    assert "No fewest number of stems is set" in client.get(earnings).content.decode()
    fill(client, reverse("books:set_least_stems"), on="2024-01-01", stems=401)
    page = client.get(earnings)
    assert [why for _row, why in page.context["apart"]] == ["too few stems to judge"]
    assert "401" in client.get(reverse("books:least_stems")).content.decode()
    fill(client, reverse("books:undo_least_stems", args=[LeastStems.objects.get().pk]))

    assert [one.place for one, *_rest in client.get(earnings).context["ranked"]] == [1]
