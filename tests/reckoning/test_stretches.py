"""From when to when something was there."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.stretches import Stretch, stretches

DAYS = [date(2024, 8, day) for day in range(1, 10)]


def test_nothing_was_never_there():
    """No change, and changes of one day that cancel."""
    assert stretches([]) == []
    assert stretches([(DAYS[0], 5), (DAYS[0], -5)]) == []


def test_it_is_still_there():
    """Five, three more, two gone: the most was eight."""
    changes = [(DAYS[0], 5), (DAYS[2], 3), (DAYS[4], -2)]

    assert stretches(changes) == [Stretch(DAYS[0], None, 8)]


def test_it_was_there_twice_in_any_order_of_entry():
    """Emptied on the third, used again on the fifth."""
    changes = [(DAYS[4], 2), (DAYS[2], -5), (DAYS[0], 5)]

    assert stretches(changes) == [Stretch(DAYS[0], DAYS[2], 5), Stretch(DAYS[4], None, 2)]


def test_no_more_goes_than_is_there():
    """Six of five."""
    with pytest.raises(ValueError, match="1 more went on 2024-08-02"):
        stretches([(DAYS[0], 5), (DAYS[1], -6)])


@given(st.lists(st.integers(min_value=0, max_value=20), min_size=len(DAYS), max_size=len(DAYS)))
def test_each_day_end_with_something_lies_in_one_stretch(levels):
    """Against the levels themselves, day by day."""
    changes = [(on, now - before) for on, now, before in zip(DAYS, levels, [0, *levels], strict=False)]

    found = stretches(changes)

    for on, level in zip(DAYS, levels, strict=True):
        around = [one for one in found if one.since <= on and (one.until is None or on < one.until)]
        assert (len(around) == 1 and around[0].most >= level) if level else not around
