"""Things for hire free on every day of a stretch."""

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.hiring import Stretch, fewest_free, first_short, most_taken_up

MAY = [date(2024, 5, day) for day in range(1, 32)]
OWNED = [(date(2024, 1, 1), 12)]


def test_what_nobody_wants_is_free() -> None:
    """Twelve owned, none promised."""
    assert fewest_free(MAY[0], MAY[30], OWNED, []) == 12


def test_two_hires_count_together_only_on_days_they_share() -> None:
    """5 from the 3rd to the 6th and 4 from the 6th to the 9th: 9 are taken up on the 6th alone."""
    hires = [Stretch(MAY[2], MAY[5], 5), Stretch(MAY[5], MAY[8], 4)]

    assert fewest_free(MAY[0], MAY[30], OWNED, hires) == 3
    assert fewest_free(MAY[2], MAY[4], OWNED, hires) == 7
    assert fewest_free(MAY[6], MAY[8], OWNED, hires) == 8
    assert fewest_free(MAY[9], MAY[30], OWNED, hires) == 12
    assert most_taken_up(MAY[0], MAY[30], hires) == 9


def test_what_came_back_is_free_again_from_its_day_on() -> None:
    """Of 5 out from the 3rd to the 9th, 4 came back on the 6th."""
    hires = [Stretch(MAY[2], MAY[8], 5, [(MAY[5], 4)])]

    assert fewest_free(MAY[4], MAY[4], OWNED, hires) == 7
    assert fewest_free(MAY[5], MAY[8], OWNED, hires) == 11


def test_more_back_than_was_wanted_frees_no_more_than_that() -> None:
    """6 back of 5 planned: all 12 are free, not 13."""
    assert fewest_free(MAY[5], MAY[5], OWNED, [Stretch(MAY[2], MAY[8], 5, [(MAY[5], 6)])]) == 12


def test_fewer_from_a_day_on() -> None:
    """Three of 12 are given away on the 10th: 9 from then on, and two too few where 11 are promised."""
    owned = [*OWNED, (MAY[9], -3)]

    assert fewest_free(MAY[0], MAY[8], owned, []) == 12
    assert fewest_free(MAY[0], MAY[9], owned, []) == 9
    assert fewest_free(MAY[0], MAY[9], owned, [Stretch(MAY[8], MAY[9], 11)]) == -2


def test_the_first_day_that_is_short_is_told() -> None:
    """12 owned, 9 from the 10th on; 11 promised from the 8th to the 12th: 2 too few on the 10th, none before or after."""
    owned, hires = [*OWNED, (MAY[9], -3)], [Stretch(MAY[7], MAY[11], 11)]

    assert first_short(MAY[0], owned, hires) == (MAY[9], 2)
    assert first_short(MAY[11], owned, hires) == (MAY[11], 2)
    assert first_short(MAY[12], owned, hires) is None
    assert first_short(MAY[0], OWNED, hires) is None


days = st.sampled_from(MAY)
stretches = st.builds(
    lambda one, other, wanted, back: Stretch(min(one, other), max(one, other), wanted, back), days, days, st.integers(0, 20),
    st.lists(st.tuples(days, st.integers(1, 5)), max_size=3),
)


@given(days, days, st.lists(st.tuples(days, st.integers(-5, 20)), max_size=4), st.lists(stretches, max_size=5))
def test_it_is_the_least_of_all_days_looked_at_one_by_one(
    one: date, other: date, owned: list[tuple[date, int]], wanted: list[Stretch]
) -> None:
    """The days on which something changes are enough."""
    first, last = min(one, other), max(one, other)
    by_day = [
        sum(more for on, more in owned if on <= day) - sum(stretch.on(day) for stretch in wanted)
        for day in MAY if first <= day <= last
    ]

    assert fewest_free(first, last, owned, wanted) == min(by_day)
