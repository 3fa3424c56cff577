"""Work shared among several things by stems or area."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.daybook.queries import area_of, done_on, shared_by, stems_of
from ledger.drying.actions import move_hanging, take_down
from ledger.facts.queries import holding
from ledger.growing.actions import clear_part, plant, plant_out
from tests.factories.drying import HangingFactory, PlaceFactory
from tests.factories.growing import BedFactory, LotFactory, PlantingFactory, VarietyFactory
from tests.refusals import refused
from tests.thread import spin_thread

pytestmark = pytest.mark.django_db
JULY_1, JULY_2, JULY_20 = date(2024, 7, 1), date(2024, 7, 2), date(2024, 7, 20)


def weights(things, how, on=JULY_1):
    """The weights of things, in their order."""
    return [weight for _one, weight in shared_by([one.cost_object for one in things], how, on)]


def test_lots_share_by_their_stems(owner):
    """120 and 80 stems bear three parts to two."""
    lots = [LotFactory(stems=120), LotFactory(stems=80)]

    assert weights(lots, "stems") == [120, 80]
    assert weights(lots, "equally") == [1, 1]


def test_plantings_share_by_the_stems_cut_that_day(owner):
    """Cut twice on the day and once the day after: the day's own count."""
    first, second = PlantingFactory(), PlantingFactory()
    for planting, on, stems in ((first, JULY_1, 30), (first, JULY_1, 20), (first, JULY_2, 500), (second, JULY_1, 10)):
        LotFactory(planting=planting, on=on, stems=stems)

    assert weights([first, second], "stems") == [50, 10]
    with refused("no_stems"):
        weights([first, second], "stems", JULY_2)


def test_plantings_share_by_area(owner):
    """Ten m2 and two and a half: hundredths of m2."""
    assert weights([PlantingFactory(area_m2=Decimal(10)), PlantingFactory(area_m2=Decimal("2.50"))], "area") == [1000, 250]


def test_a_planting_from_trays_has_the_area_it_was_planted_out_on(owner):
    """None in trays, six m2 from May, four of them once two were cleared in June."""
    bed = BedFactory()
    planting = plant(by=owner, on=date(2024, 3, 1), variety=VarietyFactory(), season=2024, origin="trays", plants=60)
    plant_out(by=owner, planting=planting, on=date(2024, 5, 1), bed=bed, area_m2=Decimal(6))
    clear_part(by=owner, planting=planting, on=date(2024, 6, 1), bed=bed, area_m2=Decimal(2))

    days = (date(2024, 4, 30), date(2024, 5, 1), date(2024, 6, 1))
    assert [area_of(planting.cost_object, on) for on in days] == [0, 600, 400]


def test_one_thing_alone_is_never_weighed(owner):
    """What is not shared needs neither stems nor area."""
    assert shared_by([holding().cost_object], "stems", JULY_1) == [(holding().cost_object, 1)]


def test_what_has_no_area_is_refused(owner):
    """A run has stems, the holding has neither."""
    run = spin_thread(owner).batch.run

    assert stems_of(run.cost_object, run.on) == 280
    with refused("no_area"):
        shared_by([run.cost_object, holding().cost_object], "area", run.on)
    with refused("no_stems"):
        shared_by([run.cost_object, holding().cost_object], "stems", run.on)


def test_a_hanging_has_the_stems_hung(owner):
    """What was put up counts, whatever came down since."""
    hanging = HangingFactory(stems=90)

    assert stems_of(hanging.cost_object, hanging.on) == 90


def test_a_days_doings_are_what_was_cut_hung_and_taken_down(owner):
    """The lot on its day, the hanging on the day it went up and on the day it came down."""
    hanging = HangingFactory(on=JULY_1, stems=90)
    take_down(by=owner, hanging=hanging, on=JULY_20, stems=50)
    take_down(by=owner, hanging=hanging, on=JULY_20, stems=40)

    up, down = ([(code, [one.pk for one in things]) for code, _words, things in done_on(on)] for on in (JULY_1, JULY_20))
    assert up[-1] == ("hung", [hanging.pk])
    assert down == [("taken_down", [hanging.pk])]
    assert done_on(date(2024, 12, 24)) == []


def test_stems_moved_on_count_where_they_hang(owner):
    """60 of 100 moved: an hour on both is shared 40 to 60 from that day."""
    hanging = HangingFactory(stems=100, on=JULY_1)
    moved = move_hanging(by=owner, hanging=hanging, on=JULY_2, place=PlaceFactory(), stems=60)

    assert weights([hanging, moved], "stems", JULY_2) == [40, 60]
