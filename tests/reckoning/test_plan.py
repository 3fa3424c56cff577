"""The plan of a plot: areas are kept, nothing sticks out that fits, what lies on another is told."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.plan import Patch, bed_patch, in_rows, lies_within, outline, overlap, side_by_side

metres = st.decimals(Decimal("0.01"), Decimal(500), places=2)
areas = st.decimals(Decimal("0.01"), Decimal(2000), places=2)


def patch(left, front, wide, deep):
    """A patch in metres."""
    return Patch(*(Fraction(str(one)) for one in (left, front, wide, deep)))


@given(areas, metres, metres, metres, st.booleans())
def test_a_bed_drawn_has_the_area_of_the_bed(area, left, front, long, across):
    """Its width follows from its area exactly, whichever way it runs."""
    bed = bed_patch(area, left=left, front=front, long=long, across=across)

    assert bed.area == Fraction(area)
    assert (bed.wide if across else bed.deep) == Fraction(long)
    assert (bed.right - bed.left, bed.back - bed.front) == (bed.wide, bed.deep)


@given(areas, st.none() | metres)
def test_a_plot_has_its_area_and_its_width_or_is_a_square(area, wide):
    """Nothing is lost of it; a square is one to a centimetre."""
    around = outline(area, wide)

    assert around.area == Fraction(area)
    assert around.wide == Fraction(wide) if wide is not None else around.wide**2 <= Fraction(area)


@given(st.lists(areas, min_size=1, max_size=12), st.none() | metres)
def test_beds_nobody_laid_out_fill_their_plot_from_the_left_and_none_sticks_out(several, wide):
    """Each keeps its area, none lies on another, and all fit on what is as large as they together."""
    around = outline(sum(several), wide)
    row = side_by_side(several, around)

    assert [one.area for one in row] == [Fraction(area) for area in several]
    assert all(lies_within(one, around) for one in row)
    assert not any(overlap(one, two) for place, one in enumerate(row) for two in row[:place])


@pytest.mark.parametrize(("one", "inside"), [
    ((0, 0, 10, 10), True), ((9.01, 0, 1, 1), True), ((9.02, 0, 1, 1), False), ((0, 9.02, 1, 1), False),
    ((-0.02, 0, 1, 1), False), ((0, -0.02, 1, 1), False), ((0, -0.01, 1, 1), True),
])
def test_a_centimetre_beyond_the_edge_is_within(one, inside):
    """On every side of ten metres by ten."""
    assert lies_within(patch(*one), patch(0, 0, 10, 10)) is inside


@pytest.mark.parametrize(("other", "over"), [
    ((2, 0, 2, 2), False), ((1.99, 0, 2, 2), False), ((1.98, 0, 2, 2), True), ((0, 1.98, 2, 2), True), ((0, 2, 2, 2), False),
    ((0.5, 0.5, 1, 1), True),
])
def test_patches_overlap_where_they_do_by_more_than_a_centimetre(other, over):
    """Beside, behind and within two metres by two."""
    assert overlap(patch(0, 0, 2, 2), patch(*other)) is over
    assert overlap(patch(*other), patch(0, 0, 2, 2)) is over


def test_rows_begin_anew_where_one_is_full_even_of_what_is_too_wide():
    """4 + 5 fit in ten with a metre between, 6 begins a row, 20 stands alone."""
    sizes = [(Fraction(wide), Fraction(deep)) for wide, deep in ((4, 2), (5, 3), (6, 1), (20, 1))]
    found = in_rows(sizes, wide=Fraction(10), apart=Fraction(1))

    assert [(one.left, one.front) for one in found] == [(0, 0), (5, 0), (0, 4), (0, 6)]
