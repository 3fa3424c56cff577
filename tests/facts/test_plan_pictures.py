"""Pictures of beds: to scale on the plan, from day to day in rows, in shades that carry a mark; and bars side by side."""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.facts.pictures import PLAIN, BedRows, Pair, Part, PlanOfBeds, RowBar, Shades, SideBySide, outlines
from ledger.facts.pictures.bed_rows import in_lanes
from ledger.facts.pictures.plan import metres_of_rule
from ledger.reckoning.plan import Patch

SHADES = Shades([-900, -300, 100, 400, 800])
wholes = st.integers(1, 60)


def patch(left, front, wide, deep):
    """A patch in metres."""
    return Patch(*map(Fraction, (left, front, wide, deep)))


def part(m2, shade=PLAIN, label=""):
    """A part of a bed."""
    return Part(Fraction(m2), shade, f"{m2} m2", label)


@given(wholes, wholes, wholes, st.lists(st.integers(1, 20), max_size=4), st.booleans())
def test_what_is_drawn_has_the_area_it_stands_for_and_lies_in_its_bed(left, wide, deep, parts, small):
    """In square centimetres, to a centimetre of each edge: the bed and every planting in it."""
    shares = [part(Fraction(wide * deep * one, sum(parts))) for one in parts]
    bed = (patch(left, 1, wide, deep), True, "1", shares)
    picture = PlanOfBeds("plan", "Plan", "Beds", [outlines("Plot", patch(0, 0, left + wide + 1, deep + 2), [bed], None)], small)
    _plot, whole, *pieces = picture.grounds

    assert whole.width * whole.height == wide * deep * 10_000
    for piece, share in zip(pieces, shares, strict=True):
        assert abs(piece.width * piece.height - share.m2 * 10_000) <= max(whole.width, whole.height)
        assert whole.x <= piece.x and piece.x + piece.width <= whole.x + whole.width
        assert whole.y <= piece.y and piece.y + piece.height <= whole.y + whole.height


def test_a_plan_stands_on_its_front_edge_with_a_rule_and_plots_beside_each_other():
    """A bed at the front lies lowest; two plots of ten metres stand in two rows, at one scale."""
    plots = [outlines(name, patch(0, 0, 10, 10), [(patch(0, 0, 2, 5), True, "1", [])], None) for name in ("A", "B")]
    picture = PlanOfBeds("plan", "Plan", "Beds", plots)
    first, bed, second, _other = picture.grounds

    assert bed.y + bed.height == first.y + first.height
    assert (first.x, second.x, second.y > first.y + first.height) == (0, 0, True)
    assert (picture.long, picture.rule[2] - picture.rule[0]) == (2, 200)


def test_beds_that_are_not_laid_out_have_a_broken_outline_behind_their_plot():
    """The strip behind is drawn broken too."""
    beds = [(patch(0, 0, 2, 5), True, "1", []), (patch(0, 11, 10, 1), False, "2", [])]
    picture = PlanOfBeds("plan", "Plan", "Beds", [outlines("A", patch(0, 0, 10, 10), beds, patch(0, 11, 10, 1))])

    assert [one.dashed for one in picture.grounds] == [False, True, False, True]
    assert picture.grounds[1].y < picture.grounds[0].y


def test_words_run_along_the_bed_and_a_small_plan_has_marks_alone():
    """A bed higher than wide is written on turned; marks stand upright."""
    shade = SHADES.of(800)
    beds = [(patch(0, 0, 2, 8), True, "bed 1", [part(16, shade, f"8.00 {shade.mark}")])]
    plots = [outlines("A", patch(0, 0, 10, 10), beds, None)]
    large, small = (PlanOfBeds("plan", "Plan", "Beds", plots, small) for small in (False, True))

    assert [(word.text, word.turned) for word in large.words] == [("A", False), ("bed 1: 8.00 ++", True)]
    assert [(word.text, word.turned) for word in small.words] == [("++", False)]


@pytest.mark.parametrize(("wide", "long"), [(1, 1), (4, 1), (6, 2), (15, 5), (30, 10), (70, 20), (400, 100)])
def test_the_rule_is_a_round_number_within_a_third(wide, long):
    """Of a plan so many metres wide."""
    assert metres_of_rule(Fraction(wide)) == long


@given(st.lists(st.integers(-10_000, 10_000)), st.integers(-100_000, 100_000))
def test_every_amount_has_a_shade_whose_figures_hold_it(amounts, amount):
    """Below nothing in one colour, above in the other, each with a mark of its own."""
    shades = Shades(amounts)
    shade = shades.of(amount)

    assert shade.least is None or shade.least <= amount
    assert shade.most is None or amount < shade.most
    assert ("+" in shade.mark) is (amount >= 0)
    assert len({one.mark for one in shades.all}) == len({one.fill for one in shades.all}) == 6


def test_three_quarters_of_the_amounts_lie_within_two_steps():
    """One far from the rest does not make them all alike."""
    assert Shades([100, -200, 300, 90_000]).step == 50_000
    assert Shades([100, -200, 300, 400, 90_000]).step == 200
    assert Shades([]).step == 1


def bar(first, end, share=1, label="Statice"):
    """A bar of 2025."""
    return RowBar(date(2025, *first), date(2025, *end), Fraction(share), SHADES.of(100), label, label)


def test_bars_lie_on_their_days_and_gaps_stay_bare():
    """From 1 January to 31 December 590 units: April to June begins after 90 of 365 days and lasts 91."""
    beds = [("bed 1", [bar((4, 1), (7, 1))]), ("bed 2", [])]
    rows = BedRows("through", "Beds", "Through", date(2025, 1, 1), date(2025, 12, 31), beds)
    bare, stood, other = rows.grounds()

    assert (bare.x, bare.width, other.width) == (130, 590, 590)
    assert (stood.x, stood.width) == (130 + round(590 * 90 / 365), round(590 * 181 / 365) - round(590 * 90 / 365))
    assert [word.text for word in rows.words()] == ["Statice"]
    assert len(rows.months()) == len(rows.lines()) == 12


def test_plantings_that_stood_together_lie_beneath_one_another_and_never_overlap():
    """Two halves side by side, a third after the first has gone takes its place."""
    halves = [bar((1, 1), (6, 1), Fraction(1, 2)), bar((2, 1), (9, 1), Fraction(1, 2)), bar((6, 1), (8, 1), Fraction(1, 2))]

    assert [low for _bar, low in in_lanes(halves)] == [0, Fraction(1, 2), 0]
    assert [low for _bar, low in in_lanes([bar((1, 1), (6, 1), 1), bar((2, 1), (3, 1), 1)])] == [0, 0]


def test_a_bar_too_short_for_its_name_has_its_mark_or_nothing():
    """Eleven days are 16 units long."""
    def said(end, label="Strawflower copper"):
        rows = BedRows("t", "B", "T", date(2025, 1, 1), date(2025, 12, 31), [("1", [bar((1, 1), end, 1, label)])])
        return [word.text for word in rows.words()]

    assert (said((1, 12)), said((1, 3)), said((7, 1))) == (["+"], [], ["Strawflower copper"])


def test_bars_side_by_side_lie_to_either_side_of_nothing():
    """-100 and 300 over 520 units: nothing lies at 130, the bars are 130 and 390 long."""
    rows = [Pair("week 1", (-100, 300), ("fresh: -1.00", "dried: 3.00")), Pair("week 2", (None, 0), ("fresh: –", "dried: 0.00"))]
    picture = SideBySide("pairs", "Pairs", "Both", rows)
    (_ink, _fill, fresh, _says), (_ink2, _fill2, dried, _says2), (_ink3, _fill3, nil, _says3) = picture.bars()

    assert (picture.zero, fresh.x, fresh.width, dried.x, dried.width, nil.width) == (130, 0, 130, 130, 390, 1)
    assert [word.text for word in picture.words()][3:] == ["week 2", "fresh: –", "dried: 0.00"]
    assert picture.height == 2 * picture.step
