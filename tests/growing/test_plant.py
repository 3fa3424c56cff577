"""Planting, what is expected, and clearing."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from ledger.facts.models import CostObject
from ledger.growing.actions import clear, expect, plant, undo_clearing, undo_expectation, undo_lot, undo_planting
from ledger.growing.models import Bed, Expectation, Planting
from ledger.growing.queries import free_area, overfull_beds, overfull_in, usual_stems
from ledger.reckoning.overfull import Overfull
from tests.factories.growing import (
    BedFactory,
    ClearingFactory,
    ExpectationFactory,
    LotFactory,
    PlantingFactory,
    SpeciesFactory,
    VarietyFactory,
)
from tests.refusals import refused

pytestmark = pytest.mark.django_db
APRIL, JULY, OCTOBER = date(2024, 4, 1), date(2024, 7, 1), date(2024, 10, 1)
TEN, TWENTY = Decimal(10), Decimal(20)


def planted(by, bed=None, **given):
    """Ten m2 planted on 1 April 2024 for its season, unless said otherwise."""
    given = {"on": APRIL, "variety": given.pop("variety", None) or VarietyFactory(), "area_m2": TEN, "season": 2024, **given}
    return plant(by=by, bed=bed or BedFactory(), **given)


def test_a_planting_stands_in_its_bed_and_can_be_spent_on(hand):
    """Planted on its day, it is there that day and its key takes costs."""
    planting = planted(hand)

    assert CostObject.objects.get(pk=planting.pk).kind == "planting"
    assert list(Planting.objects.standing_in_beds(APRIL)) == [planting]
    assert not Planting.objects.standing_in_beds(date(2024, 3, 31)).exists()


def test_a_bed_holds_no_more_than_its_area(owner):
    """Of 20 m2, 10 are free beside a planting of 10."""
    bed = BedFactory(area_m2=TWENTY)
    planted(owner, bed)

    with refused("no_room"):
        planted(owner, bed, area_m2=Decimal("10.01"))
    assert planted(owner, bed).bed == bed
    assert free_area(bed, APRIL) == 0


def test_a_planting_entered_late_stands_though_its_bed_was_given_away_since(owner):
    """Ten m2 stood from April on in a bed of 20 that is entered as full from July on: that has happened, and is shown."""
    bed = BedFactory(area_m2=TWENTY)
    planted(owner, bed, on=JULY, area_m2=TWENTY)

    assert planted(owner, bed, on=APRIL).stands
    assert overfull_in(bed) == [Overfull(JULY, None, Decimal(30), JULY)]
    assert (free_area(bed, APRIL), free_area(bed, JULY)) == (TEN, 0)
    assert Bed.objects.with_free(JULY).get().free_m2 == 0


def test_the_clearing_that_lacked_makes_it_fit_again(owner):
    """Entered as cleared on 1 July, the bed held no more than it has on any day."""
    bed = BedFactory(area_m2=TWENTY)
    planted(owner, bed, on=JULY, area_m2=TWENTY)
    late = planted(owner, bed, on=APRIL)

    assert overfull_beds(None) == [(bed, Overfull(JULY, None, Decimal(30), JULY))]
    clear(by=owner, planting=late, on=JULY)
    assert overfull_beds(None) == []


def test_a_bed_that_fits_again_is_not_named_after_those_days(owner):
    """Too full in July alone: named while a day of July is open, not when all of them are closed."""
    bed = BedFactory(area_m2=TWENTY)
    clear(by=owner, planting=planted(owner, bed, on=JULY, area_m2=TWENTY), on=date(2024, 8, 1))
    planted(owner, bed, on=APRIL)

    assert [one.until for _, one in overfull_beds(date(2024, 7, 30))] == [date(2024, 8, 1)]
    assert overfull_beds(date(2024, 7, 31)) == []


def test_the_bed_is_free_on_the_day_of_clearing(owner):
    """What is cleared on 1 October leaves its room to what is planted that day, not the day before."""
    bed = BedFactory(area_m2=TEN)
    ClearingFactory(planting=planted(owner, bed), on=OCTOBER)

    with refused("no_room"):
        planted(owner, bed, on=date(2024, 9, 30), season=2025)
    assert planted(owner, bed, on=OCTOBER, season=2025).on == OCTOBER


@pytest.mark.parametrize(("given", "code"), [
    ({"season": 2022}, "too_early"), ({"season": 2040}, "too_far"), ({"area_m2": Decimal(0)}, "min_value"),
    ({"area_m2": Decimal(-3)}, "min_value"), ({"productive_seasons": 0, "perennial": True}, "min_value"),
    ({"expected_stems": -1}, "min_value"),
    ({"on": date(2050, 1, 1), "season": 2050}, "not_yet"),
])
def test_an_absurd_planting_is_refused(owner, given, code):
    """The season fits the day, the area is there, the day has come."""
    with refused(code):
        planted(owner, **given)
    assert not Planting.objects.exists()


def test_an_annual_has_one_season(owner):
    """Only a perennial is cut in several."""
    with pytest.raises(ValidationError, match="Only a perennial"):
        planted(owner, productive_seasons=4)
    assert planted(owner, perennial=True, productive_seasons=4).productive_seasons == 4


def test_the_second_press_plants_once(owner):
    """One form makes one planting."""
    given = {"bed": BedFactory(), "variety": VarietyFactory(), "key": "a-form"}

    assert planted(owner, **given) == planted(owner, **given)
    assert Planting.objects.count() == 1


def test_a_bookkeeper_does_not_plant(bookkeeper):
    """Planting is the field's work."""
    with pytest.raises(PermissionDenied):
        planted(bookkeeper)


def test_what_is_typed_is_expected(owner):
    """Stems and planned cost typed with the planting are its first expectation."""
    planting = planted(owner, expected_stems=500, planned_cost=12000)

    expected = planting.expectations.get()
    assert (expected.on, expected.season, expected.stems, expected.planned_cost) == (APRIL, 2024, 500, 12000)


def test_without_a_figure_the_species_list_is_expected(owner):
    """80 stems to the m2 on 10 m2 are 800; where nothing is known nothing is expected."""
    known = VarietyFactory(species=SpeciesFactory(stems_per_m2=80))

    assert planted(owner, variety=known).expectations.get().stems == 800
    assert not planted(owner, variety=VarietyFactory()).expectations.exists()


def test_a_plan_of_costs_needs_stems_to_bear_it(owner):
    """A planned cost without a number of stems, typed or known, is refused."""
    with refused("no_stems"):
        planted(owner, planned_cost=12000)
    known = VarietyFactory(species=SpeciesFactory(stems_per_m2=80))
    assert planted(owner, variety=known, planned_cost=12000).expectations.get().planned_cost == 12000


def test_last_seasons_stems_to_the_m2_come_before_the_list(owner):
    """Last season 300 + 100 stems came of 10 + 10 m2, one planting giving none: 5 m2 should give 100."""
    variety = VarietyFactory(species=SpeciesFactory(stems_per_m2=80))
    gave, bare = PlantingFactory(variety=variety), PlantingFactory(variety=variety)
    LotFactory(planting=gave, stems=300)
    LotFactory(planting=gave, stems=100, on=date(2024, 8, 1))

    assert usual_stems(variety, Decimal(5), 2025) == 100
    assert usual_stems(variety, Decimal(5), 2024) == 400, "only earlier seasons count"
    assert bare.area_m2 == TEN


def test_a_perennials_last_season_alone_is_expected(owner):
    """Of 200 stems in 2024 and 600 in 2025 from 10 m2, the 600 are expected again."""
    lavender = PlantingFactory(perennial=True, productive_seasons=5, season=2024)
    LotFactory(planting=lavender, stems=200, on=JULY)
    LotFactory(planting=lavender, stems=600, on=date(2025, 7, 1))

    assert usual_stems(lavender.variety, TEN, 2026) == 600


def test_a_later_expectation_stands_beside_the_first(hand):
    """Both are facts, each of its day; undone, the later one is gone."""
    planting = PlantingFactory(expected_stems=500)

    later = expect(by=hand, planting=planting, on=JULY, season=2024, stems=350)
    assert [one.stems for one in planting.expectations.standing().order_by("on")] == [500, 350]
    undo_expectation(by=hand, expectation=later)

    assert [one.stems for one in Expectation.objects.standing()] == [500]


@pytest.mark.parametrize(("given", "code"), [
    ({"on": date(2024, 3, 31)}, "too_early"), ({"season": 2023}, "no_season"), ({"season": 2025}, "no_season"),
    ({"stems": 0}, "min_value"), ({"stems": 1_000_001}, "max_value"), ({"planned_cost": -1}, "min_value"),
])
def test_an_absurd_expectation_is_refused(owner, given, code):
    """An annual's stems are expected of its one season, from its day on."""
    planting = PlantingFactory()

    with refused(code):
        expect(by=owner, **{"planting": planting, "on": JULY, "season": 2024, "stems": 100, **given})


def test_a_perennials_later_seasons_can_be_expected(owner):
    """A perennial is expected to give in the seasons after its first."""
    lavender = PlantingFactory(perennial=True, productive_seasons=5)

    assert expect(by=owner, planting=lavender, on=JULY, season=2026, stems=900).season == 2026


def test_clearing_ends_the_stay(hand):
    """Cleared on 1 October, it stood until the day before."""
    planting = PlantingFactory()

    clear(by=hand, planting=planting, on=OCTOBER, why="frosted")

    assert list(Planting.objects.standing_in_beds(date(2024, 9, 30))) == [planting]
    assert not Planting.objects.standing_in_beds(OCTOBER).exists()
    assert list(Planting.objects.lately_in_beds(OCTOBER)) == [planting]
    assert not Planting.objects.lately_in_beds(date(2024, 10, 2)).exists()


def test_nothing_is_cleared_before_it_was_planted_or_last_cut(owner):
    """Cut on 1 July, it can be cleared that day and not before."""
    planting = PlantingFactory(on=APRIL)
    LotFactory(planting=planting, on=JULY)

    for early in (date(2024, 3, 31), date(2024, 6, 30)):
        with refused("too_early"):
            clear(by=owner, planting=planting, on=early)
    assert clear(by=owner, planting=planting, on=JULY).on == JULY


def test_a_planting_is_cleared_once(owner):
    """A second clearing is refused while the first stands."""
    clearing = ClearingFactory()

    with pytest.raises(ValidationError, match="already been cleared"):
        clear(by=owner, planting=clearing.planting, on=OCTOBER)
    undo_clearing(by=owner, clearing=clearing)
    assert clear(by=owner, planting=clearing.planting, on=OCTOBER).stands


def test_a_clearing_typed_wrongly_is_undone_though_its_room_was_given_away(owner):
    """What stands there now is no reason to keep a wrong day; entered anew, the bed fits again."""
    bed = BedFactory(area_m2=TEN)
    clearing = ClearingFactory(planting=PlantingFactory(bed=bed))
    PlantingFactory(bed=bed, on=OCTOBER, season=2025)

    assert not undo_clearing(by=owner, clearing=clearing).stands
    assert [one.first for one in overfull_in(bed)] == [OCTOBER]
    clear(by=owner, planting=clearing.planting, on=date(2024, 9, 15))
    assert overfull_in(bed) == []


def test_a_planting_is_undone_with_what_was_expected_of_it(owner):
    """Undone, neither it nor its expectations count; its bed is free."""
    planting = ExpectationFactory().planting

    undo_planting(by=owner, planting=planting)

    assert not Expectation.objects.standing().exists()
    assert free_area(planting.bed, APRIL) == planting.bed.area_m2
    with refused("undone"):
        clear(by=owner, planting=planting, on=OCTOBER)
    with refused("undone"):
        expect(by=owner, planting=planting, on=JULY, season=2024, stems=1)


def test_a_planting_that_was_cut_is_not_undone(owner):
    """A lot rests on its planting, until the lot is undone."""
    lot = LotFactory()

    with refused("rested_on"):
        undo_planting(by=owner, planting=lot.planting)
    undo_lot(by=owner, lot=lot)
    assert not undo_planting(by=owner, planting=lot.planting).stands
