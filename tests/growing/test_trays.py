"""A planting that begins without a bed, and takes beds later."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from ledger.costing.queries import fresh_book
from ledger.growing.actions import (
    clear,
    clear_part,
    cut,
    dump_seedlings,
    plant,
    plant_out,
    undo_planted_out,
    undo_planting,
    undo_seedlings_dumped,
)
from ledger.growing.models import Bed, PlantedOut, Planting, SeedlingsDumped
from ledger.growing.queries import areas_of, free_area, overfull_in, plants_left, usual_stems
from ledger.reckoning.book import total
from ledger.reckoning.sharing import MILLION
from tests.factories.daybook import PurchaseFactory, bought
from tests.factories.growing import BedFactory, LotFactory, PlantingFactory, SpeciesFactory, VarietyFactory
from tests.filling import fill, read
from tests.refusals import refused

MARCH, APRIL, MAY, JUNE, JULY = (date(2024, month, 1) for month in (3, 4, 5, 6, 7))
FIVE, TEN = Decimal(5), Decimal(10)


def trays(by, **given):
    """Two hundred plants raised in trays from March, unless said otherwise."""
    variety = given.pop("variety", None) or VarietyFactory()
    return plant(by=by, **{"on": MARCH, "variety": variety, "season": 2024, "origin": "trays", "plants": 200, **given})


@pytest.mark.parametrize("origin", ["trays", "self_sown", "gathered"])
def test_a_planting_begins_without_a_bed(hand, origin):
    """It stands, holds nothing, is called by how it began, and the cost book can be made."""
    planting = trays(hand, origin=origin)

    assert (planting.bed, planting.area_m2, areas_of(planting, JULY)) == (None, None, {})
    assert planting.where in str(planting) and planting.where == planting.get_origin_display()
    assert fresh_book(JULY).node(("planting", planting.pk)) is not None


@pytest.mark.parametrize(("given", "code"), [
    ({"origin": "bed"}, "no_bed"), ({"origin": "wild"}, "unknown"), ({"plants": 0}, "min_value"),
    ({"on": date(2050, 1, 1), "season": 2050}, "not_yet"),
])
def test_a_beginning_that_cannot_be_is_refused(hand, given, code):
    """A bed is needed where it is sown in one; how it began is known; so many plants are some."""
    with refused(code):
        trays(hand, **given)


@pytest.mark.parametrize(("given", "code"), [
    ({"origin": "trays", "area_m2": TEN}, "no_bed_yet"), ({"origin": "gathered", "area_m2": TEN}, "no_bed_yet"),
    ({"origin": "self_sown"}, "no_area"), ({"origin": "bed"}, "no_area"),
])
def test_a_bed_that_does_not_fit_is_refused(hand, given, code):
    """Trays take theirs later, what is gathered none, and a bed needs its area."""
    with refused(code):
        trays(hand, bed=BedFactory(), **given)


def test_an_area_without_a_bed_is_refused(hand):
    """So many m2 of nothing are none."""
    with refused("no_bed"):
        trays(hand, area_m2=TEN)


def test_what_sowed_itself_may_stand_in_a_bed(hand):
    """Then it holds its area like any other."""
    bed = BedFactory(area_m2=TEN)
    trays(hand, origin="self_sown", bed=bed, area_m2=FIVE)

    assert free_area(bed, APRIL) == FIVE


def test_planted_out_it_holds_its_beds_from_that_day(hand):
    """Free on 30 April, taken from 1 May on: in the query over days and in the list of beds."""
    planting, bed, other = trays(hand), BedFactory(area_m2=TEN), BedFactory(area_m2=TEN)
    plant_out(by=hand, planting=planting, on=MAY, bed=bed, area_m2=FIVE, plants=80)
    plant_out(by=hand, planting=planting, on=JUNE, bed=other, area_m2=TEN)

    free = [[Bed.objects.with_free(on).get(pk=one.pk).free_m2 for one in (bed, other)] for on in (APRIL, MAY, JUNE)]
    assert free == [[10, 10], [5, 10], [5, 0]]
    assert [[free_area(one, on) for one in (bed, other)] for on in (APRIL, MAY, JUNE)] == free
    assert Planting.objects.whole().get().where == f"{bed}, {other}"


def test_cleared_it_leaves_all_its_beds(hand):
    """Cleared on 1 July, its bed is taken till the day before and free from that day on."""
    planting, bed = trays(hand), BedFactory(area_m2=TEN)
    plant_out(by=hand, planting=planting, on=MAY, bed=bed, area_m2=TEN)
    clear(by=hand, planting=planting, on=JULY)

    assert [free_area(bed, on) for on in (MAY, date(2024, 6, 30), JULY)] == [0, 0, 10]


@pytest.mark.parametrize(("given", "code"), [
    ({"area_m2": Decimal(11)}, "no_room"), ({"on": date(2024, 2, 1)}, "too_early"), ({"plants": 201}, "too_many"),
    ({"area_m2": Decimal(0)}, "min_value"), ({"on": date(2099, 1, 1)}, "not_yet"),
])
def test_a_planting_out_that_cannot_be_is_refused(hand, given, code):
    """No room, before it was sown, more plants than were raised, no area, a day to come."""
    planting, bed = trays(hand), BedFactory(area_m2=TEN)

    with refused(code):
        plant_out(by=hand, **{"planting": planting, "on": MAY, "bed": bed, "area_m2": FIVE, **given})
    assert not PlantedOut.objects.exists()


def test_what_is_gathered_or_cleared_is_not_planted_out(hand):
    """There is nothing to set out; the day of clearing itself still counts."""
    gathered, planting, bed = trays(hand, origin="gathered"), trays(hand), BedFactory(area_m2=TEN)
    with refused("gathered"):
        plant_out(by=hand, planting=gathered, on=MAY, bed=bed, area_m2=FIVE)
    clear(by=hand, planting=planting, on=JUNE)
    with refused("cleared"):
        plant_out(by=hand, planting=planting, on=JULY, bed=bed, area_m2=FIVE)


def test_planting_out_entered_late_needs_room_that_day_alone(hand):
    """Entered for May, it fits beside what stands there from July on; it is shown as overfull unless it was cleared by then."""
    gone, there, bed = trays(hand), trays(hand), BedFactory(area_m2=TEN)
    clear(by=hand, planting=gone, on=JULY)
    PlantingFactory(bed=bed, on=JULY, area_m2=TEN)

    plant_out(by=hand, planting=gone, on=MAY, bed=bed, area_m2=FIVE)
    assert overfull_in(bed) == []
    plant_out(by=hand, planting=there, on=MAY, bed=bed, area_m2=FIVE)
    assert [(one.first, one.most) for one in overfull_in(bed)] == [(JULY, 15)]


def test_the_stems_expected_follow_the_area(hand):
    """Forty to the m2: none in trays, 200 of 5 m2, 400 of ten; a number somebody typed stays; undone it shrinks again."""
    variety, bed = VarietyFactory(species=SpeciesFactory(stems_per_m2=40)), BedFactory()
    planting = trays(hand, variety=variety)

    def expected():
        return [one.stems for one in planting.expectations.standing().order_by("pk")]

    assert expected() == []
    plant_out(by=hand, planting=planting, on=MAY, bed=bed, area_m2=FIVE)
    out = plant_out(by=hand, planting=planting, on=JUNE, bed=bed, area_m2=FIVE)
    assert expected() == [200, 400]
    undo_planted_out(by=hand, planted_out=out)
    assert expected() == [200]
    plant_out(by=hand, planting=planting, on=JUNE, bed=bed, area_m2=FIVE, expected_stems=333)
    plant_out(by=hand, planting=planting, on=JULY, bed=bed, area_m2=FIVE)
    assert expected() == [200, 333]


def test_stems_to_the_m2_count_what_was_planted_out_and_no_gathered_stem(hand):
    """300 stems of 5 m2 planted out are 60 to the m2, whatever was gathered besides."""
    variety = VarietyFactory()
    planting, wild = trays(hand, variety=variety), trays(hand, variety=variety, origin="gathered")
    plant_out(by=hand, planting=planting, on=MAY, bed=BedFactory(), area_m2=FIVE)
    LotFactory(planting=planting, stems=300)
    LotFactory(planting=wild, stems=999, on=date(2024, 8, 1))

    assert usual_stems(variety, TEN, 2025) == 600
    assert usual_stems(variety, None, 2025) is None


def test_spare_seedlings_are_thrown_away(hand):
    """Of 200, 120 set out and 60 thrown away leave 20; no more than those can go."""
    planting = trays(hand)
    plant_out(by=hand, planting=planting, on=MAY, bed=BedFactory(), area_m2=FIVE, plants=120)
    dumped = dump_seedlings(by=hand, planting=planting, on=MAY, plants=60, why="leggy")

    assert plants_left(planting) == 20
    with refused("too_many"):
        dump_seedlings(by=hand, planting=planting, on=JUNE, plants=21)
    undo_seedlings_dumped(by=hand, seedlings_dumped=dumped)
    assert plants_left(planting) == 80


def test_where_nobody_counted_any_number_may_go(hand):
    """Plants never counted are not run out of."""
    planting = trays(hand, plants=None)
    dump_seedlings(by=hand, planting=planting, on=MAY, plants=5000)

    assert plants_left(planting) is None
    undo_planting(by=hand, planting=planting)
    assert not SeedlingsDumped.objects.standing().exists()


def test_a_planting_out_that_was_partly_cleared_is_not_undone(hand):
    """First the clearing of the part, then the planting out."""
    planting, bed = trays(hand), BedFactory()
    out = plant_out(by=hand, planting=planting, on=MAY, bed=bed, area_m2=FIVE)
    clear_part(by=hand, planting=planting, on=JUNE, bed=bed, area_m2=Decimal(2))

    with refused("rested_on"):
        undo_planted_out(by=hand, planted_out=out)


def test_a_planting_is_not_cleared_before_it_was_planted_out(hand):
    """The last it was planted out is the first day it can be cleared."""
    planting = trays(hand)
    plant_out(by=hand, planting=planting, on=JUNE, bed=BedFactory(), area_m2=FIVE)

    with refused("too_early"):
        clear(by=hand, planting=planting, on=MAY)
    assert clear(by=hand, planting=planting, on=JUNE).stands


def test_what_was_spent_on_trays_reaches_the_stems(owner):
    """10.00 of seed for trays planted out and cut by 100 stems: all of it is in the lot."""
    planting = trays(owner)
    PurchaseFactory(on=MARCH, lines=[bought(net=1000, tax=0, spent_on=[(planting.cost_object, 1)])])
    plant_out(by=owner, planting=planting, on=MAY, bed=BedFactory(), area_m2=FIVE)
    lot = cut(by=owner, planting=planting, on=JULY, stage="full", stems=100)
    clear(by=owner, planting=planting, on=JULY)

    assert total(fresh_book(JULY).node(("lot", lot.pk)).carried) == 1000 * MILLION


def test_trays_are_not_on_the_cutting_round_until_planted_out(hand):
    """Gathered material always is; trays from the day they have a bed."""
    planting, wild = trays(hand), trays(hand, origin="gathered")
    plant_out(by=hand, planting=planting, on=JUNE, bed=BedFactory(), area_m2=FIVE)

    assert list(Planting.objects.on_round(MAY)) == [wild]
    assert list(Planting.objects.on_round(JUNE)) == [planting, wild]


def test_it_is_begun_planted_out_thrown_away_and_undone_on_its_pages(hand, client_as):
    """From trays to a bed by the forms, all that is left offered; the planting tells what was done to it."""
    client, bed = client_as(hand), BedFactory(area_m2=TEN)
    sown = {"variety": VarietyFactory().pk, "plants": 50, "season": 2024, "on": "2024-03-01"}
    url = fill(client, reverse("growing:begin"), origin="trays", **sown).url
    planting = Planting.objects.get()
    fill(client, reverse("growing:plant_out", args=[planting.pk]), bed=bed.pk, plants=30, on="2024-05-01")
    fill(client, reverse("growing:dump_seedlings", args=[planting.pk]), why="leggy", on="2024-05-02")

    page = read(client, url)
    assert "50 plants, 0 of them left" in page and "20 plants thrown away" in page and "leggy" in page
    assert f"{bed}</a>, 10.00 m2" in page
    for name, fact in (("seedlings_dumped", SeedlingsDumped), ("planted_out", PlantedOut)):
        fill(client, reverse(f"growing:undo_{name}", args=[fact.objects.get().pk]))
    assert plants_left(planting) == 50 and areas_of(planting, JULY) == {}


def test_lists_show_a_planting_without_a_bed(hand, client_as):
    """Plantings, lots, what went over and the cutting round name how it began, and sift trays and beds."""
    planting, client, bed = trays(hand, origin="self_sown"), client_as(hand), BedFactory()
    LotFactory(planting=planting)
    still = trays(hand)
    plant_out(by=hand, planting=planting, on=MAY, bed=bed, area_m2=FIVE)

    for url in ("growing:plantings", "growing:lots"):
        assert str(bed) in read(client, reverse(url))
    sifted = read(client, f"{reverse('growing:plantings')}?state=trays")
    assert still.get_absolute_url() in sifted and planting.get_absolute_url() not in sifted
    assert planting.get_absolute_url() in read(client, f"{reverse('growing:plantings')}?bed={bed.pk}&state=standing")
    assert planting.get_absolute_url() in read(client, bed.get_absolute_url())
    assert planting.get_absolute_url() in read(client, bed.plot.get_absolute_url())


def test_planted_out_it_is_chosen_by_its_bed(hand, client_as):
    """The form of a cutting, the lot and the plot name the bed it stands in, not the trays it came from."""
    planting, bed, client = trays(hand), BedFactory(), client_as(hand)
    plant_out(by=hand, planting=planting, on=MAY, bed=bed, area_m2=FIVE)
    lot, named = LotFactory(planting=planting), f"{planting.variety}, {bed}, 2024"

    for url in (reverse("growing:cut"), lot.get_absolute_url(), bed.plot.get_absolute_url()):
        assert named in read(client, url)


def test_a_bookkeeper_plants_nothing_out(bookkeeper, owner):
    """It is the field's work."""
    with pytest.raises(PermissionDenied):
        plant_out(by=bookkeeper, planting=trays(owner), on=MAY, bed=BedFactory(), area_m2=FIVE)


def test_a_planting_out_entered_late_leaves_the_whole_area_expected(hand):
    """400 of ten in May; five more of early May entered late: 600 hold, from the day of the number before."""
    variety, bed = VarietyFactory(species=SpeciesFactory(stems_per_m2=40)), BedFactory()
    planting = trays(hand, variety=variety)
    plant_out(by=hand, planting=planting, on=JUNE, bed=bed, area_m2=TEN)
    plant_out(by=hand, planting=planting, on=MAY, bed=bed, area_m2=FIVE)

    assert planting.expectations.standing().order_by("-on", "-pk").first().stems == 600


def test_undoing_the_first_planting_out_leaves_what_the_second_gives(hand):
    """200 and then 400 of ten: without the first five, 200 are expected again."""
    variety, bed = VarietyFactory(species=SpeciesFactory(stems_per_m2=40)), BedFactory()
    planting = trays(hand, variety=variety)
    first = plant_out(by=hand, planting=planting, on=MAY, bed=bed, area_m2=FIVE)
    plant_out(by=hand, planting=planting, on=JUNE, bed=bed, area_m2=FIVE)
    undo_planted_out(by=hand, planted_out=first)

    assert planting.expectations.standing().order_by("-on", "-pk").first().stems == 200


def test_a_planting_out_that_was_cut_since_is_not_undone(hand):
    """Its stems would come from no bed."""
    planting = trays(hand)
    out = plant_out(by=hand, planting=planting, on=MAY, bed=BedFactory(), area_m2=FIVE)
    cut(by=hand, planting=planting, on=JULY, stage="full", stems=10)

    with refused("rested_on"):
        undo_planted_out(by=hand, planted_out=out)
