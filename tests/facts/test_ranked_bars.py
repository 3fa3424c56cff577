"""Ranked bars: where they lie and what is never drawn."""

from ledger.facts.pictures import RankedBars, RankedRow


def picture(*rows):
    """Bars named by their place."""
    numbered = [RankedRow(f"row {place}", row) for place, row in enumerate(rows)]
    return RankedBars("earned", "Earned", "So it was.", "Best first", ("in", "left", "out"), numbered)


def test_what_is_left_to_sell_lies_beyond_what_came_in():
    """100 and 20 of 120 fill the drawing of 720: 600 and 120 side by side, 60 of cost beneath."""
    drawn = [(layer.label, bar.x, bar.width) for layer, bar, _says in picture((100, 20, 60)).bars()]

    assert drawn == [("in", 0, 600), ("left", 600, 120), ("out", 0, 360)]


def test_nothing_below_nil_or_of_nil_is_drawn():
    """A loss on wreaths draws no bar; cost alone is drawn."""
    assert [layer.label for layer, _bar, _says in picture((-5, 0, 10)).bars()] == ["out"]


def test_one_of_many_is_still_seen():
    """One beside ten thousand is one unit wide."""
    widths = [bar.width for _layer, bar, _says in picture((10_000, 0, 0), (1, 0, 0)).bars()]

    assert widths == [720, 1]


def test_rows_are_numbered_and_the_drawing_grows_with_them():
    """Two rows stand one beneath the other with their places before their names."""
    two = picture((1, 0, 0), (1, 0, 0))

    assert [word.text for word in two.words()] == ["1. row 0", "2. row 1"]
    assert two.height == 2 * picture((1, 0, 0)).height
    assert two.words()[0].y < two.bars()[0][1].y < two.words()[1].y
