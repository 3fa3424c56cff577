"""What stock has to say today of promises that lie only in boxes held back."""

from datetime import date

import pytest

from ledger.stock.actions import hold, hold_back, let_go, release
from ledger.stock.today import notes
from tests.factories.stock import BoxFactory, batch_of

AUGUST_5, AUGUST_7, AUGUST_9, AUGUST_10 = (date(2024, 8, day) for day in (5, 7, 9, 10))


def said(user, on):
    """Each note about boxes held back with promises, with its address."""
    return [(says, url) for says, url in notes(user, on) if "promised" in says]


@pytest.fixture
def held_back(owner, batch, box):
    """Six of 24 bunches are promised; the box with twenty of them is held back from the 5th to the 9th."""
    batch_of(batch.line, 4, box=BoxFactory(shelf="B1"))
    hold(by=owner, on=AUGUST_5, line=batch.line, bunches=6, for_what="a wedding")
    return hold_back(by=owner, on=AUGUST_5, box=box, until=AUGUST_9, why="moths")


@pytest.mark.parametrize("who", ["owner", "hand", "seller"])
def test_promises_that_no_other_box_can_keep_are_named(request, who, held_back, line):
    """Four lie elsewhere, two do not: both who promise and who open boxes are led to the line."""
    assert said(request.getfixturevalue(who), AUGUST_5) == [
        (f"2 promised bunches of {line} lie in boxes held back, and no others are left for them", line.get_absolute_url())
    ]


def test_the_note_ends_with_the_holding_back(owner, held_back):
    """Named up to its last day, and no longer once the box was let go."""
    assert [len(said(owner, on)) for on in (AUGUST_9, AUGUST_10)] == [1, 0]
    let_go(by=owner, on=AUGUST_7, held_back=held_back)
    assert said(owner, AUGUST_7) == []


def test_promises_that_other_boxes_can_keep_are_not_named(owner, held_back, line):
    """Of five, one still lacks; with one more bunched none does."""
    kept = line.holds.get()
    release(by=owner, on=AUGUST_5, hold=kept, bunches=1)
    assert [says[:19] for says, _ in said(owner, AUGUST_5)] == ["1 promised bunch of"]

    batch_of(line, 1, box=BoxFactory(shelf="B2"))
    assert said(owner, AUGUST_5) == []


def test_a_bookkeeper_is_not_told_of_promises(bookkeeper, held_back):
    """Neither promising nor boxes are the bookkeeper's."""
    assert said(bookkeeper, AUGUST_5) == []
