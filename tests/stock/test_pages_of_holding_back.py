"""Pages of boxes held back."""

from datetime import date

import pytest

from ledger.facts.queries import today
from ledger.stock.actions import hold_back
from ledger.stock.models import HeldBack, LetGo
from tests.stock.browsing import AUGUST_5, listed, press, words


@pytest.fixture
def held_back(owner, batch, box):
    """The box, held back for a long time."""
    return hold_back(by=owner, on=AUGUST_5, box=box, until=date(2099, 1, 1), why="faded")


def test_a_box_is_held_back_on_its_page(as_owner, batch, box):
    """It says until when and why; nothing of its line is free."""
    press(as_owner, "stock:hold_back", box.pk, why="faded", until="2036-01-01")

    page = words(as_owner, "stock:box", box.pk)
    assert "Held back until" in page and "faded" in page and "Let it go" in page and "Sell from here" not in page
    assert listed(as_owner, "stock:boxes", state="held_back") == [box]
    assert "In boxes held back" in words(as_owner, "stock:line", batch.line.pk)
    assert f"× in {box.code}" not in words(as_owner, "stock:rework")
    assert f"20 × in {box.code}" in words(as_owner, "stock:rework", box=box.pk)


def test_a_box_is_let_go_and_that_is_undone(as_owner, held_back, box):
    """And the holding back itself."""
    press(as_owner, "stock:let_go", held_back.pk)
    assert "Sell from here" in words(as_owner, "stock:box", box.pk)

    press(as_owner, "stock:undo_let_go", LetGo.objects.get().pk, number=2)
    assert "Held back until" in words(as_owner, "stock:box", box.pk)

    press(as_owner, "stock:undo_hold_back", held_back.pk, number=3)
    assert not HeldBack.objects.standing()


def test_a_box_held_back_twice_is_refused(as_owner, held_back, box):
    """It says from when to when it is."""
    answer = press(as_owner, "stock:hold_back", box.pk, why="again", until="2036-01-01")

    assert "Let it go first" in answer.content.decode()


def test_the_last_day_is_told_on_today(as_owner, owner, batch, box):
    """Somebody is to look into it."""
    hold_back(by=owner, on=AUGUST_5, box=box, until=today(), why="faded")

    assert "held back for the last day" in as_owner.get("/").content.decode()
