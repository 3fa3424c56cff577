"""Perennials: cut over, divided, their life estimated anew."""

from datetime import date
from decimal import Decimal

import pytest
from django.urls import reverse

from ledger.costing.queries import fresh_book
from ledger.growing.actions import (
    clear,
    cut_over,
    divide,
    estimate_life,
    undo_cut_over,
    undo_division,
    undo_life,
    undo_planting,
)
from ledger.growing.models import CutOver, Division, Life, Planting
from ledger.growing.queries import free_area, life_on
from tests.factories.growing import BedFactory, LotFactory, PlantingFactory, SpeciesFactory, VarietyFactory
from tests.filling import fill, read
from tests.refusals import refused

APRIL, AUGUST, NOVEMBER = date(2024, 4, 1), date(2024, 8, 20), date(2024, 11, 5)
NEXT_APRIL = date(2025, 4, 1)
FOUR = Decimal(4)


@pytest.fixture
def lavender(owner):
    """Ten m2 of a perennial expected to give four seasons from 2024 on."""
    return PlantingFactory(perennial=True, productive_seasons=4)


def test_it_is_cut_over_and_that_undone(hand, lavender):
    """A note goes with it; twice in a season it may be."""
    over = cut_over(by=hand, planting=lavender, on=AUGUST, note="to the grey")
    cut_over(by=hand, planting=lavender, on=NOVEMBER)
    undo_cut_over(by=hand, cut_over=over)

    assert list(CutOver.objects.standing().values_list("on", flat=True)) == [NOVEMBER]


def test_its_life_is_estimated_anew_from_a_day(hand, lavender):
    """Four seasons until 5 November, six from then on; undone, four again."""
    life = estimate_life(by=hand, planting=lavender, on=NOVEMBER, productive_seasons=6, why="thriving")

    assert [life_on(lavender, on) for on in (AUGUST, NOVEMBER)] == [4, 6]
    undo_life(by=hand, life=life)
    assert life_on(lavender, NOVEMBER) == 4


def test_a_life_is_no_shorter_than_what_has_begun(hand, lavender):
    """In its second season it has two at least."""
    with refused("too_short"):
        estimate_life(by=hand, planting=lavender, on=NEXT_APRIL, productive_seasons=1)
    assert estimate_life(by=hand, planting=lavender, on=NEXT_APRIL, productive_seasons=2).stands


def test_divided_the_daughter_is_a_planting_of_its_own(hand, lavender):
    """One of three parts goes to 4 m2 of another bed, is cut from the next season on for five, and holds its bed."""
    bed = BedFactory(area_m2=Decimal(5))
    division = divide(
        by=hand, planting=lavender, on=NOVEMBER, bed=bed, area_m2=FOUR, parts=1, of_parts=3, productive_seasons=5
    )
    daughter = division.daughter

    assert (daughter.variety, daughter.bed, daughter.season, daughter.perennial) == (lavender.variety, bed, 2025, True)
    assert (daughter.productive_seasons, daughter.on, free_area(bed, NOVEMBER)) == (5, NOVEMBER, 1)


@pytest.mark.parametrize(("given", "code"), [
    ({"parts": 3}, "not_below_whole"), ({"parts": 0}, "min_value"), ({"area_m2": Decimal(51)}, "no_room"),
    ({"on": date(2024, 3, 31)}, "too_early"), ({"season": 2050}, "too_far"), ({"productive_seasons": 61}, "max_value"),
])
def test_a_division_that_cannot_be_is_refused_whole(hand, lavender, given, code):
    """All of its parts, none, no room, before it was planted, a season far ahead, a life beyond belief: no daughter is made."""
    about = {"planting": lavender, "on": NOVEMBER, "bed": BedFactory(), "area_m2": FOUR, "parts": 1, "of_parts": 3, **given}
    with refused(code):
        divide(by=hand, **about)
    assert Planting.objects.count() == 1


def test_a_division_is_undone_with_its_daughter_unless_that_was_cut(hand, lavender):
    """The daughter alone cannot be undone; once it is cut the division stands."""
    division = divide(by=hand, planting=lavender, on=NOVEMBER, bed=BedFactory(), area_m2=FOUR, parts=1, of_parts=2)
    with refused("rested_on"):
        undo_planting(by=hand, planting=division.daughter)
    with refused("rested_on"):
        undo_planting(by=hand, planting=lavender)
    LotFactory(planting=division.daughter, on=date(2025, 7, 1))
    with refused("rested_on"):
        undo_division(by=hand, division=division)
    assert Division.objects.get().stands


def test_undone_the_division_leaves_nothing(hand):
    """Neither the daughter nor what was expected of it, and its bed is free."""
    lavender = PlantingFactory(perennial=True, variety=VarietyFactory(species=SpeciesFactory(stems_per_m2=40)))
    bed = BedFactory(area_m2=FOUR)
    division = divide(by=hand, planting=lavender, on=NOVEMBER, bed=bed, area_m2=FOUR, parts=1, of_parts=2)
    assert division.daughter.expectations.get().stems == 160
    undo_division(by=hand, division=division)

    assert list(Planting.objects.standing()) == [lavender]
    assert free_area(bed, NOVEMBER) == FOUR


@pytest.mark.parametrize("verb", [
    lambda by, one: cut_over(by=by, planting=one, on=AUGUST),
    lambda by, one: estimate_life(by=by, planting=one, on=AUGUST, productive_seasons=3),
    lambda by, one: divide(by=by, planting=one, on=AUGUST, bed=one.bed, area_m2=FOUR, parts=1, of_parts=2),
])
def test_an_annual_is_none_of_these(hand, verb):
    """What has one season is neither cut over, nor divided, nor given a life."""
    with refused("no_perennial"):
        verb(hand, PlantingFactory())


@pytest.mark.parametrize("verb", [
    lambda by, one: cut_over(by=by, planting=one, on=NOVEMBER),
    lambda by, one: estimate_life(by=by, planting=one, on=NOVEMBER, productive_seasons=3),
    lambda by, one: divide(by=by, planting=one, on=NOVEMBER, bed=one.bed, area_m2=FOUR, parts=1, of_parts=2),
])
def test_cleared_it_is_left_alone(hand, lavender, verb):
    """After the day it was cleared nothing is done to it."""
    clear(by=hand, planting=lavender, on=AUGUST)
    with refused("cleared"):
        verb(hand, lavender)


def test_it_is_not_cleared_before_it_was_divided(hand, lavender):
    """The parts came from what stood."""
    divide(by=hand, planting=lavender, on=NOVEMBER, bed=BedFactory(), area_m2=FOUR, parts=1, of_parts=2)
    with refused("too_early"):
        clear(by=hand, planting=lavender, on=AUGUST)


def test_the_cost_book_is_made_with_all_of_it(owner, lavender):
    """Cut over, divided, with another life: the book of the next season can be read."""
    cut_over(by=owner, planting=lavender, on=AUGUST)
    estimate_life(by=owner, planting=lavender, on=NOVEMBER, productive_seasons=6)
    division = divide(by=owner, planting=lavender, on=NOVEMBER, bed=BedFactory(), area_m2=FOUR, parts=1, of_parts=2)

    assert fresh_book(date(2025, 8, 1)).node(("planting", division.daughter_id)) is not None


def test_all_of_it_is_entered_on_pages(hand, client_as, lavender):
    """Cut over, divided and re-estimated from the planting's page, which tells of each, and the daughter of its mother."""
    client, bed, key = client_as(hand), BedFactory(area_m2=FOUR), [lavender.pk]
    fill(client, reverse("growing:cut_over", args=key), note="to the grey", on="2024-08-20")
    fill(client, reverse("growing:estimate_life", args=key), productive_seasons=7, on="2024-11-05")
    sent = fill(client, reverse("growing:divide", args=key), bed=bed.pk, of_parts=3, season=2025, on="2024-11-05")

    page = read(client, lavender.get_absolute_url())
    assert "to the grey" in page and "perennial, 7 productive seasons" in page and "1 of 3 parts gone along" in page
    assert sent.url == Division.objects.get().daughter.get_absolute_url()
    assert lavender.get_absolute_url() in read(client, sent.url)


def test_all_of_it_is_undone_on_pages(hand, client_as, lavender):
    """Each has its undo beside it on the planting's page."""
    client = client_as(hand)
    facts = [
        cut_over(by=hand, planting=lavender, on=AUGUST),
        estimate_life(by=hand, planting=lavender, on=AUGUST, productive_seasons=6),
        divide(by=hand, planting=lavender, on=AUGUST, bed=BedFactory(), area_m2=FOUR, parts=1, of_parts=2),
    ]
    for name, fact in zip(("cut_over", "life", "division"), facts, strict=True):
        url = reverse(f"growing:undo_{name}", args=[fact.pk])
        assert url in read(client, lavender.get_absolute_url())
        assert fill(client, url).status_code == 302
    assert not any(model.objects.standing().exists() for model in (CutOver, Life, Division))


def test_clearing_early_says_what_becomes_of_the_rest(hand, client_as, lavender):
    """The form of a perennial says it, an annual's does not."""
    says = "left of its establishing is a cost of the year"
    pages = [read(client_as(hand), reverse("growing:clear", args=[one.pk])) for one in (lavender, PlantingFactory())]

    assert [says in page for page in pages] == [True, False]
