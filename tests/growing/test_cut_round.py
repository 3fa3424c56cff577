"""A cutting round: many beds entered as one sheet."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from ledger.growing.actions import CutRow, clear, cut_round, undo_lot
from ledger.growing.models import Lot, Planting
from tests.factories.growing import BedFactory, LotFactory, PlantingFactory
from tests.filling import fill
from tests.refusals import refused

MARCH_1, JULY_1, JULY_2 = date(2024, 3, 1), date(2024, 7, 1), date(2024, 7, 2)
ROUND = reverse("growing:cut_round")


@pytest.fixture
def two(owner):
    """Two plantings in two beds of one plot."""
    first = PlantingFactory()
    return first, PlantingFactory(bed=BedFactory(plot=first.bed.plot, name="2"))


def test_a_round_makes_a_lot_of_each_row(hand, two):
    """Forty stems of one bed, six bundles of ten of the other."""
    one, other = two
    rows = [CutRow(one, "full", stems=40), CutRow(other, "tight", bundles=6, per_bundle=10)]
    cut_round(by=hand, on=JULY_1, rows=rows)

    assert list(Lot.objects.order_by("stems").values_list("planting", "stems", "stage")) == [
        (one.pk, 40, "full"), (other.pk, 60, "tight"),
    ]


def test_a_refusal_names_its_row_and_nothing_is_cut(hand, two):
    """Each row at fault is named by its planting; the sound one is not recorded alone."""
    one, other = two
    clear(by=hand, planting=other, on=JULY_1)
    with pytest.raises(ValidationError) as caught:
        cut_round(by=hand, on=JULY_2, rows=[CutRow(one, "full", stems=40), CutRow(other, "full", stems=5)])

    assert set(caught.value.error_dict) == {f"stems_{other.pk}"}
    assert not Lot.objects.exists()


def test_an_empty_round_and_a_day_to_come_are_refused(hand, two):
    """A round of nothing is no round; tomorrow's is not cut yet."""
    with refused("empty"):
        cut_round(by=hand, on=JULY_1, rows=[])
    with refused("not_yet"):
        cut_round(by=hand, on=date(2099, 1, 1), rows=[CutRow(two[0], "full", stems=40)])


def test_the_round_shows_what_stood_that_day_bed_by_bed(owner, two):
    """Not before it was planted, not from the day it was cleared, unless it is named."""
    one, other = two
    clear(by=owner, planting=other, on=JULY_1)

    assert list(Planting.objects.on_round(MARCH_1)) == []
    assert list(Planting.objects.on_round(date(2024, 6, 30))) == [one, other]
    assert list(Planting.objects.on_round(JULY_1)) == [one]
    assert list(Planting.objects.on_round(JULY_1, also=[other.pk])) == [one, other]


def test_the_sheet_is_filled_in_like_the_last_cut(hand, two, client_as):
    """Stage and bundle of the last lot stand there; a row left empty is left out."""
    one, _other = two
    LotFactory(planting=one, on=JULY_1, stage="half_open", stems=None, bundles=2, per_bundle=25)
    answer = fill(client_as(hand), f"{ROUND}?on=2024-07-02", **{f"bundles_{one.pk}": 3})

    assert answer.url == "/growing/lots/?since=2024-07-02&until=2024-07-02"
    lot = Lot.objects.get(on=JULY_2)
    assert (lot.planting, lot.stems, lot.stage) == (one, 75, "half_open")


def test_a_refused_sheet_keeps_what_was_typed(hand, two, client_as):
    """Entered for a day before one of them was planted: said on its row, both numbers still there."""
    one, other = two
    typed = {f"n_{one.pk}": 31, f"stage_{one.pk}": "full", f"n_{other.pk}": 47, "on": "2024-03-01"}
    answer = fill(client_as(hand), f"{ROUND}?on=2024-07-02", **typed)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "It was planted only on" in str(answer.context["form"].errors[f"n_{one.pk}"])
    assert 'value="31"' in page and 'value="47"' in page


def test_a_second_press_cuts_once_and_a_lot_is_undone_alone(owner, two, client_as):
    """The same sheet sent twice makes one lot; undone, the bed may be cleared before it."""
    client = client_as(owner)
    form = client.get(f"{ROUND}?on=2024-07-01").context["form"]
    sent = {"form_key": form["form_key"].value(), "on": "2024-07-01", f"n_{two[0].pk}": 9, f"stage_{two[0].pk}": "full"}
    answers = [client.post(ROUND, sent) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [302, 302]
    undo_lot(by=owner, lot=Lot.objects.get())
    clear(by=owner, planting=two[0], on=date(2024, 6, 1))


def test_the_round_asks_as_often_for_many_beds_as_for_one(hand, two, client_as, django_assert_max_num_queries):
    """No query for a row."""
    for number in range(3, 9):
        PlantingFactory(variety=two[0].variety, bed=BedFactory(name=str(number)))
    client = client_as(hand)

    with django_assert_max_num_queries(12):
        client.get(f"{ROUND}?on=2024-07-01")


def test_a_bookkeeper_cuts_nothing(bookkeeper, client_as):
    """The sheet is for those of the field; a day that is none shows today's beds."""
    assert client_as(bookkeeper).get(ROUND).status_code == 403


def test_a_day_that_cannot_be_read_is_today(hand, client_as):
    """No fault, and no bed."""
    assert "No planting stood in a bed" in client_as(hand).get(f"{ROUND}?on=31-31").content.decode()
