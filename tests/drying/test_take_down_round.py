"""A loft round along the hangings of a place, and what is due down."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from ledger.drying.actions import DownRow, take_down_round
from ledger.drying.models import Hanging, TakingDown
from ledger.drying.queries import UsualDays, due_down, usual_days
from tests.factories.drying import HangingFactory, LotFactory, PlaceFactory, TakingDownFactory
from tests.filling import fill, read
from tests.refusals import refused

JULY_2, JULY_3, JULY_20 = date(2024, 7, 2), date(2024, 7, 3), date(2024, 7, 20)


@pytest.fixture
def place(owner):
    """A loft with two hangings of one lot, the second put up a day later: 100 and 60 stems."""
    place, lot = PlaceFactory(), LotFactory()
    HangingFactory(place=place, lot=lot, stems=100)
    HangingFactory(place=place, lot=lot, stems=60, on=JULY_3)
    return place


def sheet(place, on="2024-07-20"):
    """The address of a place's round."""
    return f"{reverse('drying:take_down_round', args=[place.pk])}?on={on}"


def test_a_round_takes_down_of_each_row(hand, place):
    """All of one with five mouldy, half of the other."""
    first, second = Hanging.objects.order_by("on")
    rows = [DownRow(first, 100, {"mould": 5}), DownRow(second, 30)]
    take_down_round(by=hand, on=JULY_20, place=place, rows=rows)

    assert list(TakingDown.objects.order_by("pk").values_list("hanging", "stems", "sound")) == [
        (first.pk, 100, 95), (second.pk, 30, 30),
    ]


def test_a_refusal_names_its_row_and_nothing_comes_down(hand, place):
    """Sixty-one of sixty: said on that row, the other is not recorded alone."""
    first, second = Hanging.objects.order_by("on")
    with pytest.raises(ValidationError) as caught:
        take_down_round(by=hand, on=JULY_20, place=place, rows=[DownRow(first, 100), DownRow(second, 61)])

    assert set(caught.value.error_dict) == {f"stems_{second.pk}"}
    assert not TakingDown.objects.exists()


def test_an_empty_round_a_day_to_come_and_another_place_are_refused(hand, place):
    """Nothing at all, tomorrow, and what hangs elsewhere."""
    first = Hanging.objects.earliest("on")
    with refused("empty"):
        take_down_round(by=hand, on=JULY_20, place=place, rows=[])
    with refused("not_yet"):
        take_down_round(by=hand, on=date(2099, 1, 1), place=place, rows=[DownRow(first, 1)])
    with refused("elsewhere"):
        take_down_round(by=hand, on=JULY_20, place=PlaceFactory(), rows=[DownRow(first, 1)])


def test_usual_days_are_the_median_of_finished_hangings(owner):
    """Ten, twelve and thirty days: twelve, of three hangings; before the last came down eleven, of two."""
    lot = LotFactory()
    for day in (12, 14):
        TakingDownFactory(hanging=HangingFactory(lot=lot), on=date(2024, 7, day))
    TakingDownFactory(hanging=HangingFactory(lot=lot), on=date(2024, 8, 1))
    TakingDownFactory(hanging=HangingFactory(lot=lot), on=JULY_3, stems=99)
    variety = lot.planting.variety

    assert usual_days([variety], date(2024, 8, 1)) == {variety.pk: UsualDays(12, 3)}
    assert usual_days([variety], date(2024, 7, 31)) == {variety.pk: UsualDays(11, 2)}


def test_before_the_first_the_species_list_stands_in(owner):
    """Twenty-one days by the list, resting on no hanging; without a list nobody knows."""
    listed = LotFactory(planting__variety__species__days_to_dry=21).planting.variety
    unknown = LotFactory().planting.variety

    assert usual_days([listed, unknown], JULY_20) == {listed.pk: UsualDays(21, 0), unknown.pk: UsualDays(None, 0)}


def test_due_down_from_the_usual_day_on(owner, place):
    """Hung on 2 and 3 July, eighteen days by the list: on the 20th the first is due, the second is not."""
    species = Hanging.objects.earliest("on").parting.lot.planting.variety.species
    species.days_to_dry = 18
    species.save()

    assert [up.hanging.on for up in due_down(JULY_20)] == [JULY_2]
    assert [up.days for up in due_down(date(2024, 7, 21))] == [19, 18]
    assert due_down(date(2024, 7, 19)) == []


def test_the_sheet_takes_all_of_one_and_leaves_the_other(hand, place, client_as):
    """All of it ticked, three faded; the empty row is left out, and the longest hung stands first."""
    first, second = Hanging.objects.order_by("on")
    client = client_as(hand)
    assert [up.hanging for up in client.get(sheet(place)).context["form"].ups] == [first, second]
    answer = fill(client, sheet(place), **{f"all_{first.pk}": "on", f"lost_{first.pk}": 3, f"why_{first.pk}": "faded"})

    assert answer.url == place.get_absolute_url()
    taking = TakingDown.objects.get()
    assert (taking.hanging, taking.stems, taking.sound, taking.on) == (first, 100, 97, JULY_20)


def test_a_loss_needs_its_reason_and_its_count(hand, place, client_as):
    """Refused on the row, what was typed still there."""
    first, second = Hanging.objects.order_by("on")
    answer = fill(client_as(hand), sheet(place), **{f"n_{first.pk}": 40, f"lost_{first.pk}": 3, f"lost_{second.pk}": 2})

    errors = answer.context["form"].errors
    assert answer.status_code == 422
    assert {f"why_{first.pk}", f"n_{second.pk}"} <= set(errors)
    assert 'value="40"' in answer.content.decode()


def test_a_refused_sheet_keeps_a_row_that_came_down_meanwhile(hand, place, client_as):
    """Two on the ladder: the second is told nothing is up any more, on the row, with the number still there."""
    first = Hanging.objects.earliest("on")
    client = client_as(hand)
    form = client.get(sheet(place)).context["form"]
    TakingDownFactory(hanging=first, on=JULY_20)
    sent = {"form_key": form["form_key"].value(), "on": "2024-07-20", f"n_{first.pk}": 77}
    answer = client.post(sheet(place), sent)

    assert "Only 0 stems are still up" in str(answer.context["form"].errors[f"n_{first.pk}"])
    assert 'value="77"' in answer.content.decode()


def test_a_second_press_takes_down_once(hand, place, client_as):
    """All is down by then, and still the press leads to the same page."""
    client = client_as(hand)
    form = client.get(sheet(place)).context["form"]
    all_down = {f"all_{up.hanging.pk}": "on" for up in form.ups}
    sent = {"form_key": form["form_key"].value(), "on": "2024-07-20", **all_down}
    answers = [client.post(sheet(place), sent) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [302, 302]
    assert TakingDown.objects.count() == 2


def test_due_down_lists_what_to_do_and_where(hand, owner, client_as):
    """With the days, what is usual and on how many hangings it rests; nothing due says so."""
    client = client_as(hand)
    assert "Nothing is due down today" in read(client, reverse("drying:due_down"))
    lot = LotFactory()
    TakingDownFactory(hanging=HangingFactory(lot=lot), on=date(2024, 7, 14))
    hanging = HangingFactory(lot=lot, stems=33)

    page = read(client, reverse("drying:due_down"))
    assert hanging.get_absolute_url() in page and "usual here 12 (one hanging)" in page
    assert reverse("drying:take_down_round", args=[hanging.place.pk]) in page


def test_a_seller_goes_no_round(seller, owner, client_as):
    """The sheet is for those of the loft."""
    assert client_as(seller).get(sheet(PlaceFactory())).status_code == 403
