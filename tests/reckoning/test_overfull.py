"""Days with more taken than there is room for."""

from datetime import date, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.overfull import Overfull, overfull_days

APRIL, MAY, JUNE, JULY = (date(2025, month, 1) for month in (4, 5, 6, 7))


def test_what_fits_is_never_overfull():
    """Ten of ten, one after the other, and nothing at all."""
    assert overfull_days([(APRIL, MAY, 10), (MAY, None, 10)], 10) == []
    assert overfull_days([], 10) == []


def test_a_stretch_runs_from_the_first_day_too_many_to_the_first_that_fits():
    """8 + 4 from May, 5 more in June, all but 8 gone in July: the most is 17, on 1 June."""
    held = [(APRIL, None, 8), (MAY, JULY, 4), (JUNE, JULY, 5)]

    assert overfull_days(held, 10) == [Overfull(MAY, JULY, 17, JUNE)]


def test_what_still_stands_has_no_end_and_stretches_are_kept_apart():
    """Too many in May, right in June, too many again from July on."""
    held = [(APRIL, None, 8), (MAY, JUNE, 4), (JULY, None, 3)]

    assert overfull_days(held, 10) == [Overfull(MAY, JUNE, 12, MAY), Overfull(JULY, None, 11, JULY)]


def test_what_is_given_up_makes_room():
    """12.5 m2 in a bed of 12 until half a m2 is cleared; what left on its own day never stood."""
    held = [(APRIL, None, Decimal("12.5")), (MAY, None, Decimal("-0.5")), (JUNE, JUNE, Decimal(9))]

    assert overfull_days(held, Decimal(12)) == [Overfull(APRIL, MAY, Decimal("12.5"), APRIL)]


STAYS = st.lists(st.tuples(st.integers(0, 20), st.one_of(st.none(), st.integers(0, 25)), st.integers(1, 9)), max_size=8)


@given(STAYS, st.integers(1, 15))
def test_every_day_is_named_when_and_only_when_too_much_is_taken(drawn, room):
    """Against counting day by day."""
    held = [(APRIL + timedelta(first), None if end is None else APRIL + timedelta(end), n) for first, end, n in drawn]
    found = overfull_days(held, room)

    for day in (APRIL + timedelta(number) for number in range(30)):
        taken = sum(n for first, end, n in held if first <= day and (end is None or day < end))
        named = [one for one in found if one.first <= day and (one.until is None or day < one.until)]
        assert len(named) == (taken > room)
        assert all(taken <= one.most for one in named)
