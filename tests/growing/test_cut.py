"""Cutting, and what leaves a lot."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.facts.models import CostObject
from ledger.growing.actions import clear, cut, draw_stems, part, throw_out, undo_lot, undo_parting, undo_planting
from ledger.growing.models import Lot, Parting
from ledger.growing.queries import lot_last_cut, stems_left_ever
from tests.factories.drying import HangingFactory
from tests.factories.growing import LotFactory, PartingFactory, PlantingFactory
from tests.refusals import refused

pytestmark = pytest.mark.django_db
JUNE_30, JULY_1, JULY_2, JULY_3 = date(2024, 6, 30), date(2024, 7, 1), date(2024, 7, 2), date(2024, 7, 3)


def test_a_lot_counted_in_stems(hand):
    """Stems cut are in water that day, and the lot takes costs."""
    lot = cut(by=hand, planting=PlantingFactory(), on=JULY_1, stage="half_open", stems=240)

    assert (lot.stems, lot.bundles, lot.stage) == (240, None, "half_open")
    assert CostObject.objects.get(pk=lot.pk).kind == "lot"
    assert Lot.objects.in_water(JULY_1).get().stems_in_water == 240
    assert not Lot.objects.in_water(JUNE_30).exists()


def test_a_lot_counted_in_bundles(owner):
    """Twelve bundles of twenty are 240 stems."""
    lot = cut(by=owner, planting=PlantingFactory(), on=JULY_1, stage="full", bundles=12, per_bundle=20)

    assert (lot.stems, lot.bundles, lot.per_bundle) == (240, 12, 20)


@pytest.mark.parametrize(("given", "code"), [
    ({}, "no_count"), ({"bundles": 12}, "no_count"), ({"per_bundle": 20}, "no_count"),
    ({"bundles": 0, "per_bundle": 20}, "no_count"), ({"stems": 241, "bundles": 12, "per_bundle": 20}, "does_not_add_up"),
    ({"stems": 0}, "min_value"), ({"stems": -5}, "min_value"), ({"stems": 1_000_001}, "max_value"),
    ({"stems": 10, "stage": "wilted"}, "invalid_choice"), ({"stems": 10, "on": date(2050, 1, 1)}, "not_yet"),
])
def test_an_absurd_lot_is_refused(owner, given, code):
    """A lot has a count that makes sense, a known stage and a day that has come."""
    planting = PlantingFactory()

    with refused(code):
        cut(by=owner, **{"planting": planting, "on": JULY_1, "stage": "full", **given})
    assert not Lot.objects.exists()


def test_stems_and_bundles_that_agree_are_taken(owner):
    """Both counts may be typed when they say the same."""
    assert cut(by=owner, planting=PlantingFactory(), on=JULY_1, stage="full", stems=240, bundles=12, per_bundle=20).stems == 240


def test_nothing_is_cut_before_planting_or_after_clearing(owner):
    """From its day to the day it is cleared, both within it."""
    planting = PlantingFactory(on=date(2024, 4, 1))
    clear(by=owner, planting=planting, on=JULY_2)

    with refused("too_early"):
        cut(by=owner, planting=planting, on=date(2024, 3, 31), stage="full", stems=1)
    with refused("cleared"):
        cut(by=owner, planting=planting, on=JULY_3, stage="full", stems=1)
    assert cut(by=owner, planting=planting, on=JULY_2, stage="full", stems=1).on == JULY_2
    assert cut(by=owner, planting=planting, on=date(2024, 4, 1), stage="full", stems=1).stems == 1


def test_the_second_press_cuts_once(owner):
    """One form makes one lot."""
    given = {"by": owner, "planting": PlantingFactory(), "on": JULY_1, "stage": "full", "stems": 10, "key": "a-form"}

    assert cut(**given) == cut(**given)
    assert Lot.objects.count() == 1


@pytest.mark.parametrize("role", ["seller", "bookkeeper"])
def test_only_the_field_cuts(request, role):
    """Neither seller nor bookkeeper enters what happens in the field."""
    with pytest.raises(PermissionDenied):
        cut(by=request.getfixturevalue(role), planting=PlantingFactory(), on=JULY_1, stage="full", stems=10)


def test_what_leaves_is_no_longer_in_water(hand):
    """100 thrown out and 30 drawn of 1000 leave 870, from their own days on."""
    lot = LotFactory(stems=1000)
    throw_out(by=hand, lot=lot, on=JULY_2, stems=100, why="bent")
    draw_stems(by=hand, lot=lot, on=JULY_3, stems=30, why="for the kitchen")

    def in_water(on):
        return Lot.objects.with_stems_in_water(on).get().stems_in_water

    assert [in_water(JULY_1), in_water(JULY_2), in_water(JULY_3)] == [1000, 900, 870]
    assert stems_left_ever(lot) == 870
    assert sorted(Parting.objects.values_list("way", flat=True)) == ["drawn", "thrown_out"]


def test_a_lot_that_has_all_parted_is_not_in_water(owner):
    """The last stem out, the lot leaves the list that day."""
    lot = LotFactory(stems=100)
    part(by=owner, lot=lot, on=JULY_2, way="cut_dry", stems=100)

    assert list(Lot.objects.in_water(JULY_1)) == [lot]
    assert not Lot.objects.in_water(JULY_2).exists()


def test_back_dated_stems_cannot_part_twice(owner):
    """A stem parts once, in whatever order the days are entered."""
    lot = LotFactory(stems=100)
    part(by=owner, lot=lot, on=JULY_3, way="thrown_out", stems=60)

    with refused("too_many"):
        part(by=owner, lot=lot, on=JULY_2, way="drawn", stems=41)
    assert part(by=owner, lot=lot, on=JULY_2, way="drawn", stems=40).stems == 40


@pytest.mark.parametrize(("given", "code"), [
    ({"on": JUNE_30}, "too_early"), ({"stems": 0}, "min_value"), ({"stems": -1}, "min_value"),
    ({"way": "eaten"}, "invalid_choice"),
])
def test_an_absurd_parting_is_refused(owner, given, code):
    """At least one stem, in a known way, not before the cut."""
    lot = LotFactory()

    with refused(code):
        part(by=owner, **{"lot": lot, "on": JULY_2, "way": "drawn", "stems": 10, **given})
    assert stems_left_ever(lot) == 1000


def test_a_parting_undone_puts_stems_back_in_water(owner):
    """Undone, what was thrown out is in water again; once only."""
    parting = PartingFactory(stems=100)

    undo_parting(by=owner, parting=parting)

    assert stems_left_ever(parting.lot) == 1000
    with refused("already_undone"):
        undo_parting(by=owner, parting=parting)


def test_what_hangs_is_undone_with_its_hanging(owner):
    """A parting that hangs is no fact to undo by itself, and its lot rests on nothing being left."""
    hanging = HangingFactory()

    with refused("rested_on"):
        undo_parting(by=owner, parting=hanging.parting)
    with refused("rested_on"):
        undo_lot(by=owner, lot=hanging.parting.lot)


def test_nothing_is_built_on_what_was_undone(owner):
    """An undone lot parts no more, an undone planting is cut no more."""
    lot = LotFactory()
    undo_lot(by=owner, lot=lot)
    undo_planting(by=owner, planting=lot.planting)

    with refused("undone"):
        part(by=owner, lot=lot, on=JULY_2, way="drawn", stems=1)
    with refused("undone"):
        cut(by=owner, planting=lot.planting, on=JULY_1, stage="full", stems=1)


def test_the_next_lot_is_likely_to_be_like_the_last(owner):
    """The last lot of the planting, else of its variety, else none."""
    planting = PlantingFactory()
    beside = PlantingFactory(variety=planting.variety)

    assert lot_last_cut(planting) is None
    elsewhere = LotFactory(planting=beside)
    assert lot_last_cut(planting) == elsewhere
    first, last = LotFactory(planting=planting, on=JULY_2), LotFactory(planting=planting, on=JULY_3)
    assert (lot_last_cut(planting), first.on) == (last, JULY_2)
