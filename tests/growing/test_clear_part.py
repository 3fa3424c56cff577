"""Part of a bed cleared, and a planting that failed."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from ledger.growing.actions import clear, clear_part, cut, undo_clearing, undo_lot, undo_part_cleared
from ledger.growing.models import Bed, Clearing, PartCleared
from ledger.growing.queries import area_held, areas_in, areas_of, free_area, overfull_in
from tests.factories.growing import BedFactory, LotFactory, PlantingFactory
from tests.filling import fill, read
from tests.refusals import refused

APRIL, JUNE, JULY, AUGUST = (date(2024, month, 1) for month in (4, 6, 7, 8))
TWO, FIVE, TEN = Decimal(2), Decimal(5), Decimal(10)


@pytest.fixture
def planting(owner):
    """All of a bed of ten m2 from April on."""
    return PlantingFactory(bed=BedFactory(area_m2=TEN))


def test_half_a_bed_is_free_from_that_day(hand, planting):
    """Ten m2 held till 30 June, five from 1 July on, of bed and planting alike."""
    clear_part(by=hand, planting=planting, on=JULY, bed=planting.bed, area_m2=FIVE, why="mildew")

    assert [free_area(planting.bed, on) for on in (JUNE, JULY)] == [0, 5]
    assert [Bed.objects.with_free(on).get().free_m2 for on in (JUNE, JULY)] == [0, 5]
    assert [areas_of(planting, on)[planting.bed_id] for on in (JUNE, JULY)] == [10, 5]
    assert (area_held(planting, APRIL), areas_in(planting.bed)) == (5, {planting.pk: 5})


def test_what_is_planted_there_takes_no_more(hand, planting):
    """Five m2 given up can be planted once; the rest goes with the clearing of all."""
    clear_part(by=hand, planting=planting, on=JULY, bed=planting.bed, area_m2=FIVE)
    PlantingFactory(bed=planting.bed, on=JULY, area_m2=FIVE)

    with refused("no_room"):
        PlantingFactory(bed=planting.bed, on=JULY, area_m2=Decimal("0.01"))
    clear(by=hand, planting=planting, on=AUGUST)
    assert free_area(planting.bed, AUGUST) == FIVE


@pytest.mark.parametrize(("given", "code"), [
    ({"area_m2": Decimal("10.01")}, "too_much"), ({"area_m2": TEN}, "all_of_it"), ({"area_m2": Decimal(0)}, "min_value"),
    ({"on": date(2024, 3, 31)}, "too_early"), ({"on": date(2099, 1, 1)}, "not_yet"),
])
def test_a_part_that_cannot_be_is_refused(hand, planting, given, code):
    """More than it holds, all it holds, nothing, before it was planted, a day to come."""
    with refused(code):
        clear_part(by=hand, **{"planting": planting, "on": JULY, "bed": planting.bed, "area_m2": FIVE, **given})
    assert not PartCleared.objects.exists()


def test_a_bed_it_never_stood_in_is_refused(hand, planting):
    """It holds nothing of another bed."""
    with refused("too_much"):
        clear_part(by=hand, planting=planting, on=JULY, bed=BedFactory(), area_m2=FIVE)


def test_back_dated_parts_add_up_to_less_than_all(hand, planting):
    """Six m2 given up in August and four in June would be all ten."""
    clear_part(by=hand, planting=planting, on=AUGUST, bed=planting.bed, area_m2=Decimal(6))

    with refused("all_of_it"):
        clear_part(by=hand, planting=planting, on=JUNE, bed=planting.bed, area_m2=Decimal(4))
    with refused("too_much"):
        clear_part(by=hand, planting=planting, on=JUNE, bed=planting.bed, area_m2=FIVE)


def test_all_is_cleared_no_earlier_than_a_part(hand, planting):
    """What was cleared in part in July was not cleared as a whole in June."""
    clear_part(by=hand, planting=planting, on=JULY, bed=planting.bed, area_m2=FIVE)

    with refused("too_early"):
        clear(by=hand, planting=planting, on=JUNE)
    with refused("cleared"):
        clear(by=hand, planting=planting, on=JULY)
        clear_part(by=hand, planting=planting, on=AUGUST, bed=planting.bed, area_m2=TWO)


def test_undone_it_holds_its_part_again_though_that_was_planted_since(hand, planting):
    """With the follower's two it then holds twelve of ten from August on, and the bed says so."""
    part = clear_part(by=hand, planting=planting, on=JULY, bed=planting.bed, area_m2=FIVE)
    PlantingFactory(bed=planting.bed, on=AUGUST, area_m2=TWO)

    assert overfull_in(planting.bed) == []
    assert not undo_part_cleared(by=hand, part_cleared=part).stands
    assert [(one.first, one.most) for one in overfull_in(planting.bed)] == [(AUGUST, 12)]


def test_half_a_bed_is_cleared_on_its_page(hand, client_as, planting):
    """The page offers half of the one bed; the planting tells of it, and where it is undone."""
    client = client_as(hand)
    fill(client, reverse("growing:clear_part", args=[planting.pk]), bed=planting.bed_id, why="mildew", on="2024-07-01")

    part = PartCleared.objects.get()
    page = read(client, planting.get_absolute_url())
    assert part.area_m2 == FIVE and "5.00 m2" in page and "mildew" in page
    fill(client, reverse("growing:undo_part_cleared", args=[part.pk]))
    assert areas_of(planting, JULY) == {planting.bed_id: TEN}


def test_a_planting_that_failed_is_cleared_as_such(hand, client_as, planting):
    """It says so, and nothing is cut of it before or on that day."""
    client = client_as(hand)
    fill(client, reverse("growing:clear", args=[planting.pk]), failed="on", why="slugs", on="2024-07-01")

    assert Clearing.objects.get().failed
    assert "Failed and cleared" in read(client, planting.get_absolute_url())
    with refused("failed"):
        cut(by=hand, planting=planting, on=JUNE, stage="full", stems=1)
    undo_clearing(by=hand, clearing=Clearing.objects.get())
    assert cut(by=hand, planting=planting, on=JUNE, stage="full", stems=1).stands


def test_what_was_cut_did_not_fail(hand, client_as):
    """The tick is refused, and the form does not offer it; without the lot it does."""
    lot = LotFactory()
    url = reverse("growing:clear", args=[lot.planting_id])

    with refused("was_cut"):
        clear(by=hand, planting=lot.planting, on=AUGUST, failed=True)
    assert "failed" not in client_as(hand).get(url).context["form"].fields
    undo_lot(by=hand, lot=lot)
    assert "failed" in client_as(hand).get(url).context["form"].fields


def test_a_failed_planting_on_the_round_is_refused_on_its_row(hand, client_as, planting):
    """Named on the sheet, the refusal stands by its number."""
    clear(by=hand, planting=planting, on=JULY, failed=True)
    typed = {f"n_{planting.pk}": 4, f"stage_{planting.pk}": "full", "on": "2024-06-01"}
    answer = fill(client_as(hand), f"{reverse('growing:cut_round')}?on=2024-06-01", **typed)

    assert answer.status_code == 422
    assert "failed" in str(answer.context["form"].errors[f"n_{planting.pk}"])


def test_cleared_once_whether_failed_or_not(hand, planting):
    """A second clearing is refused."""
    clear(by=hand, planting=planting, on=JULY, failed=True)
    with pytest.raises(ValidationError, match="already been cleared"):
        clear(by=hand, planting=planting, on=JULY)
