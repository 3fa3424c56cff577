"""Where labels lie on a sheet."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.label_sheets import LabelSheet, laid_out

A4 = LabelSheet(2100, 2970, 3, 7, 635, 381, 72, 151, 25, 0)


def test_labels_lie_row_by_row_from_the_left_upper_corner():
    """21 on A4, 63.5 x 38.1 mm: the second 66.0 mm further on, the fourth one row down."""
    places = list(A4.places())

    assert A4.count == len(places) == 21
    assert places[:4] == [(72, 151), (732, 151), (1392, 151), (72, 532)]


@given(
    columns=st.integers(1, 6), rows=st.integers(1, 12), size=st.tuples(st.integers(50, 900), st.integers(50, 900)),
    before=st.tuples(st.integers(0, 200), st.integers(0, 200)), gaps=st.tuples(st.integers(0, 60), st.integers(0, 60)),
)
def test_no_label_lies_off_the_sheet_or_on_another(columns, rows, size, before, gaps):
    """Whatever fits: within the sheet, each its own place; what does not fit is refused."""
    try:
        sheet = LabelSheet(2100, 2970, columns, rows, *size, *before, *gaps)
    except ValueError:
        wide, high = (before[at] + n * size[at] + (n - 1) * gaps[at] for at, n in ((0, columns), (1, rows)))
        assert wide > 2100 or high > 2970
        return
    places = list(sheet.places())
    assert all(0 <= x <= 2100 - size[0] and 0 <= y <= 2970 - size[1] for x, y in places)
    assert all(
        abs(x - u) >= size[0] or abs(y - v) >= size[1] for at, (x, y) in enumerate(places) for u, v in places[at + 1 :]
    )


@pytest.mark.parametrize("wrong", [{"columns": 0}, {"left": -1}, {"label_wide": 2200}, {"label_high": 500}])
def test_what_does_not_fit_is_refused(wrong):
    """No label, a place off the sheet, too wide, seven too high."""
    fixed = {"wide": 2100, "high": 2970, "columns": 3, "rows": 7, "label_wide": 635, "label_high": 381}
    with pytest.raises(ValueError, match="label"):
        LabelSheet(**{**fixed, **wrong})


@pytest.mark.parametrize(("size", "room"), [((991, 677), "large"), ((991, 381), "middling"), ((570, 320), "small")])
def test_how_much_a_label_can_say(size, room):
    """By both its sides."""
    assert LabelSheet(2100, 2970, 1, 1, *size).room == room


def test_a_sheet_begun_goes_on_where_it_was_left():
    """Four labels on sheets of three from the second place; no place nil or beyond the last."""
    assert laid_out(4, 3, first=2) == [[-1, 0, 1], [2, 3]]
    for first in (0, 4):
        with pytest.raises(ValueError, match="no place"):
            laid_out(1, 3, first=first)
