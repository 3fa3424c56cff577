"""A printed table adds up along and down, whatever it is made of."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.printing import printed_costs, printed_table
from ledger.reckoning.sharing import MILLION

AMOUNT = st.integers(-10 * MILLION, 1000 * MILLION) | st.just(0) | st.integers(0, 9).map(lambda whole: whole * MILLION)
ROWS = st.lists(st.tuples(AMOUNT, st.tuples(AMOUNT, AMOUNT, AMOUNT)), max_size=12)


def rounded(millionths):
    """Halves up."""
    return (2 * millionths + MILLION) // (2 * MILLION)


def test_a_year_told_in_three_columns_and_in_four_leaves_the_same():
    """0.4 goods, 0.4 pitch and 0.4 hours are 1.2, printed 1; each rounded by itself would leave 0 spent."""
    (three,) = printed_costs([(400_000, [800_000, 0])])
    (four,) = printed_costs([(400_000, [400_000, 0, 400_000])])

    assert (three, four) == ((0, [1, 0]), (0, [1, 0, 0]))


@given(ROWS)
def test_rows_and_columns_add_up_to_the_exact_sums_rounded(rows):
    """The cost to the shelf and all cost are rounded once, halves up; the rows add up to both."""
    found = printed_costs(rows)
    shelf = sum(one for one, _parts in rows)

    assert sum(one for one, _parts in found) == rounded(shelf)
    assert sum(one + sum(parts) for one, parts in found) == rounded(shelf + sum(sum(parts) for _shelf, parts in rows))


@given(ROWS)
def test_no_amount_strays_far_from_the_truth(rows):
    """The cost to the shelf by less than two units, a part by less than four."""
    for (shelf, parts), (printed_shelf, printed_parts) in zip(rows, printed_costs(rows), strict=True):
        assert abs(printed_shelf * MILLION - shelf) < 2 * MILLION
        assert all(abs(one * MILLION - amount) < 4 * MILLION for one, amount in zip(printed_parts, parts, strict=True))


@given(ROWS)
def test_what_is_told_in_fewer_columns_has_the_same_totals(rows):
    """Two parts told as one end in the same total of the goods and of all cost."""
    fewer = [(shelf, (parts[0] + parts[1], parts[2])) for shelf, parts in rows]

    def ends(found):
        return sum(shelf for shelf, _parts in found), sum(sum(parts) for _shelf, parts in found)

    assert ends(printed_costs(rows)) == ends(printed_costs(fewer))


@given(st.lists(st.tuples(st.integers(0, 99 * MILLION), st.integers(0, 99 * MILLION)), min_size=1, max_size=12))
def test_a_table_with_whole_sums_has_each_amount_rounded_up_or_down(pairs):
    """With a last row that makes every column whole, nothing strays by a unit, and what is whole stays."""
    rows = [(one, other, -one - other) for one, other in pairs]
    rows.append(tuple(-sum(column) for column in zip(*rows, strict=True)))
    found = printed_table(rows, (0, 0, 0))

    assert [sum(column) for column in zip(*found, strict=True)] == [0, 0, 0]
    assert {sum(row) for row in found} == {0}
    assert all(abs(one * MILLION - amount) < MILLION for row, whole in zip(rows, found, strict=True)
               for amount, one in zip(row, whole, strict=True))


def test_what_is_nothing_stays_nothing_beside_what_is_rounded():
    """A gate without fees or hours shows none, however the market's pennies fall."""
    found = printed_costs([(333_333, [0, 0]), (333_333, [444_444, 111_111]), (333_333, [444_444, 0])])

    assert found[0][1] == [0, 0]
    assert found[2][1][1] == 0


def test_whole_amounts_stay_whole_though_they_are_the_largest():
    """57.00 and no hours beside pitches with fractions: the pitches take the rounding of the goods."""
    hours = [5700 * (one % 2) for one in range(9)]
    rows = [
        (one * 333_333 + 100_000, [250_400_000 + one * 111_111, 6900 * MILLION, own * MILLION]) for one, own in enumerate(hours)
    ]

    assert [parts[1:] for _shelf, parts in printed_costs(rows)] == [[6900, own] for own in hours]


@given(st.lists(st.tuples(AMOUNT, AMOUNT, st.integers(0, 99)), max_size=12))
def test_a_part_that_is_whole_in_every_row_stays_so_beside_one_that_is_not(rows):
    """Hours at a whole rate beside fees with fractions."""
    uneven = [(shelf, [fee // MILLION * MILLION + 300_000, hours * MILLION]) for shelf, fee, hours in rows]

    assert [parts[1] for _shelf, parts in printed_costs(uneven)] == [hours for _shelf, _fee, hours in rows]


def test_an_empty_table_is_empty():
    """No row, no total."""
    assert (printed_table([], ()), printed_costs([])) == ([], [])


def test_sums_that_are_not_whole_are_refused():
    """Half a minor unit cannot be printed."""
    with pytest.raises(ValueError, match="do not add up"):
        printed_table([(500_000, 0), (0, 500_000)], (1, 0))
