"""Perennials re-estimated, divided and cut over, and plantings on changing ground (whole units of money)."""

from dataclasses import replace
from datetime import date

import pytest

from ledger.reckoning.book import Division, Ground, LotFact, SpaceFact, bed_days, season_key, total
from tests.reckoning.test_book_hand_worked import (
    KINDS,
    PLANTING,
    PLOT,
    checked,
    cost,
    facts,
    place,
    planting,
    spent,
)

DAUGHTER, OTHER_PLOT = 20, 12
PLANTED = date(2023, 10, 1)


def perennial(**given):
    fixed = {"on": PLANTED, "cleared": None, "season": 2024, "perennial": True, "productive_seasons": 4}
    return planting(**{**fixed, **given})


def established(*plantings, on=date(2026, 6, 30), amount=400, spending=()):
    kinds = {**KINDS, DAUGHTER: "planting", OTHER_PLOT: "plot"}
    given = facts(on=on, spending=[spent(PLANTING, amount, on=PLANTED), *spending], plantings=plantings)
    return checked(replace(given, kinds_of=kinds))


def slices(book, key=PLANTING, seasons=(2024, 2025, 2026)):
    return [cost(book, *season_key(key, season)) for season in seasons]


def test_a_longer_life_spreads_what_is_left():
    """400 over 4: 100 in 2024; from 2025 on seven in all are expected, so the 300 left are six times 50."""
    book = established(perennial(lives=[(date(2025, 3, 1), 7)]))

    assert slices(book) == [100, 50, 50]
    assert place(book, "plants") == 200


def test_a_shorter_life_takes_what_is_left_sooner():
    """From 2025 on two seasons in all: the 300 left are that season's; the next bears nothing."""
    book = established(perennial(lives=[(date(2025, 3, 1), 2)]))

    assert slices(book) == [100, 300, 0]


def test_a_later_estimate_leaves_earlier_seasons_alone():
    """What was estimated in 2026 does not change 2025."""
    book = established(perennial(lives=[(date(2025, 3, 1), 7), (date(2026, 2, 1), 5)]))

    assert slices(book)[:2] == [100, 50]
    assert slices(book)[2] == pytest.approx(250 / 3, abs=1)


def test_divided_plants_take_their_part_of_what_is_left():
    """One of four parts divided in 2025 takes 50 of the 200 then left; the daughter spreads them over her own two."""
    mother = perennial(divisions=[Division(DAUGHTER, date(2025, 9, 1), 1, 4)])
    daughter = perennial(key=DAUGHTER, on=date(2025, 9, 1), season=2026, productive_seasons=2)
    book = established(daughter, mother)

    assert cost(book, "planting", DAUGHTER) == 50
    assert slices(book) == [100, 100, 75]
    assert slices(book, DAUGHTER, (2026,)) == [25]


def test_plants_divided_before_their_first_season_take_their_part_of_all():
    """Divided before any season: a quarter of all 400."""
    mother = perennial(divisions=[Division(DAUGHTER, date(2023, 11, 1), 1, 4)])
    daughter = perennial(key=DAUGHTER, on=date(2023, 11, 1))
    book = established(mother, daughter)

    assert (cost(book, "planting", DAUGHTER), slices(book)[0]) == (100, 75)
    early = established(mother, daughter, on=date(2023, 12, 1))
    assert (cost(early, "planting", DAUGHTER), place(early, "plants")) == (100, 400)


@pytest.mark.parametrize(("on", "taken", "first"), [
    (date(2024, 3, 1), 100, 75), (date(2024, 3, 2), 75, 100), (date(2024, 12, 31), 75, 100),
])
def test_plants_divided_the_day_they_were_planted_take_their_part_of_all(on, taken, first):
    """Planted and first cut in 2024: a quarter of the 400 that day, of the 300 the season leaves from the next day on."""
    mother = perennial(on=date(2024, 3, 1), divisions=[Division(DAUGHTER, on, 1, 4)])
    book = established(mother, perennial(key=DAUGHTER, on=on, season=2025))

    assert (cost(book, "planting", DAUGHTER), slices(book)[0]) == (taken, first)


def test_work_after_cutting_over_is_for_the_next_season_at_once():
    """Cut over in August, weeded in September: the weeding waits in the plants, whatever the year's end."""
    weeding = spent(PLANTING, 40, on=date(2025, 9, 1), number=2)
    book = established(perennial(cut_over=[date(2025, 8, 1)]), on=date(2025, 9, 30), spending=[weeding])

    assert slices(book, seasons=(2025, 2026)) == [100, 40]
    assert place(book, "plants") == 200 + 40


def test_a_second_flush_keeps_the_season_open():
    """Stems cut after the plants were cut over: work up to that day is still the season's."""
    weeding = spent(PLANTING, 40, on=date(2025, 9, 1), number=2)
    given = facts(
        on=date(2025, 9, 30), spending=[weeding], plantings=[perennial(cut_over=[date(2025, 8, 1)])],
        lots=[LotFact(3, PLANTING, date(2025, 9, 20), 10)],
    )

    assert cost(checked(given), *season_key(PLANTING, 2025)) == 40


def test_plants_cleared_with_their_season_have_no_next_one():
    """Cut over in August and cleared in November, all work is the season's."""
    weeding = spent(PLANTING, 40, on=date(2025, 9, 1), number=2)
    plant = perennial(cut_over=[date(2025, 8, 1)], cleared=date(2025, 11, 1))

    assert slices(established(plant, spending=[weeding]), seasons=(2025,)) == [140]


def test_planting_costs_of_the_first_productive_season_establish_it():
    """Planted in March of its first season: plants bought that day are spread, later weeding is the season's."""
    plant = perennial(on=date(2025, 3, 1), season=2025)
    bills = [spent(PLANTING, 400, on=date(2025, 3, 1), number=2), spent(PLANTING, 30, on=date(2025, 4, 1), number=3)]
    book = established(plant, amount=0, spending=bills)

    assert slices(book, seasons=(2025, 2026)) == [130, 100]


def plots(*spaces, ground=(), on=date(2025, 12, 31), **given):
    plant = planting(ground=ground, **given)
    bills = [spent(space.key, 153, number=space.key) for space in spaces]
    kinds = {**KINDS, OTHER_PLOT: "plot"}
    return checked(replace(facts(on=on, spending=bills, spaces=spaces, plantings=[plant]), kinds_of=kinds))


def space(key=PLOT):
    return SpaceFact(key, "plot", 10_000, {2025: (153, 153 * 10_000)})


def test_trays_take_no_bed_until_they_are_planted_out():
    """Sown in trays on 1 May, 100 m2 planted out on 1 June, cleared 1 October: 122 of 153 days are charged."""
    book = plots(space(), plot=None, area=0, ground=[Ground(PLOT, date(2025, 6, 1), 10_000)])

    assert cost(book, "planting", PLANTING) == 122


def test_half_a_bed_cleared_is_charged_for_no_longer():
    """100 m2 from 1 May, half of it cleared on 2 August: 93 days of 100 m2 and 60 of 50."""
    book = plots(space(), ground=[Ground(PLOT, date(2025, 8, 2), -5_000)])

    assert cost(book, "planting", PLANTING) == 93 + 30


def test_a_planting_on_two_plots_is_charged_by_both():
    """50 m2 on each of two plots bear half of each plot's year."""
    ground = [Ground(OTHER_PLOT, date(2025, 5, 1), 5_000)]
    book = plots(space(), space(OTHER_PLOT), area=5_000, ground=ground)

    flows = [flow.source for flow in book.node(("planting", PLANTING)).inflows]
    assert flows == [("plot", PLOT), ("plot", OTHER_PLOT)]
    assert 152 <= cost(book, "planting", PLANTING) <= 154


def test_all_of_it_cleared_part_by_part_holds_nothing():
    """Both halves cleared before the clearing itself: no day of it is charged after."""
    ground = [Ground(PLOT, date(2025, 8, 2), -5_000), Ground(PLOT, date(2025, 9, 1), -5_000)]

    assert cost(plots(space(), ground=ground), "planting", PLANTING) == 93 + 15
    assert total(plots(space(), ground=ground).node(("plot", PLOT)).carried) == 153


def test_days_and_area_in_the_beds():
    """100 m2 from 1 May, half cleared on 2 August, all on 1 October: 153 days, 93 of 100 m2 and 60 of 50."""
    plant = planting(ground=[Ground(PLOT, date(2025, 8, 2), -5_000)])

    assert bed_days(plant, plant.on, date(2025, 12, 31)) == (153, 93 * 10_000 + 60 * 5_000)


def test_what_stands_in_no_bed_has_no_days():
    """Gathered stems hold no ground."""
    assert bed_days(planting(plot=None, area=0), date(2025, 5, 1), date(2025, 12, 31)) == (0, 0)
