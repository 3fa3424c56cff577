"""Quantities that would do, and carriage due."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.order_terms import carriage_due, would_do

SOME = st.integers(1, 500)


@given(SOME, SOME, SOME)
def test_both_numbers_do_and_none_between_them_does(asked: int, least: int, multiple: int) -> None:
    """Multiples of the pack at or above the least, and nearest on either side."""
    below, above = would_do(asked, least=least, multiple=multiple)
    numbers = [above] if below is None else [below, above]
    assert all(n % multiple == 0 and n >= least for n in numbers)
    assert (below or 0) <= asked <= above
    between = range((below if below is not None else 0) + 1, above)
    assert not [n for n in between if n % multiple == 0 and n >= least]


def test_nothing_below_one() -> None:
    """No pack of nought."""
    with pytest.raises(ValueError, match="begin at one"):
        would_do(5, least=1, multiple=0)


def test_carriage_that_is_never_free() -> None:
    """Without a sum from which it is free it is always due."""
    assert carriage_due(10**9, carriage=850, free_from=None) == 850
