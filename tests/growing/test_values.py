"""What a lot's ways out are worth, kept; and how long in water is too long."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from ledger.costing.queries import fresh_book
from ledger.growing.actions import set_water_limit, undo_cut_value, undo_lot, undo_water_limit, value_ways
from ledger.growing.models import CutValue, Lot, WaterLimit
from ledger.growing.queries import days_in_water
from ledger.growing.today import notes
from tests.factories.growing import LotFactory, PartingFactory
from tests.filling import fill, read
from tests.refusals import refused

JULY_1, JULY_2, JULY_3, JULY_5 = (date(2024, 7, day) for day in (1, 2, 3, 5))


def kept(lot):
    """The values that stand, by way."""
    return {one.way: one.per_hundred for one in lot.cut_values.standing()}


def test_a_value_is_kept_for_each_way(owner):
    """Fresh 24.00 and hung 15.00 a hundred; the book of the day is made."""
    lot = LotFactory()
    value_ways(by=owner, lot=lot, on=JULY_2, values={"sold_fresh": 2400, "hung": 1500, "drawn": None})

    assert kept(lot) == {"sold_fresh": 2400, "hung": 1500}
    assert fresh_book(JULY_2).node(("lot", lot.pk)) is not None


def test_another_value_replaces_the_first_and_one_left_the_same_stays(owner):
    """The old row is marked undone and named by the new; None takes a value away."""
    lot = LotFactory()
    first = value_ways(by=owner, lot=lot, on=JULY_1, values={"sold_fresh": 2400, "hung": 1500})
    again = value_ways(by=owner, lot=lot, on=JULY_2, values={"sold_fresh": 2600, "hung": 1500})

    assert [(one.way, one.replaces) for one in again] == [("sold_fresh", first[0])]
    assert kept(lot) == {"sold_fresh": 2600, "hung": 1500}
    value_ways(by=owner, lot=lot, on=JULY_2, values={"hung": None})
    assert kept(lot) == {"sold_fresh": 2600}


@pytest.mark.parametrize(("values", "on", "code"), [
    ({"thrown_out": 5}, JULY_1, None), ({"eaten": 5}, JULY_1, "invalid_choice"), ({"hung": -1}, JULY_1, "min_value"),
    ({"hung": 10**9 + 1}, JULY_1, "max_value"), ({"hung": 5}, date(2024, 6, 30), "too_early"),
    ({"hung": 5}, date(2099, 1, 1), "not_yet"),
])
def test_a_value_that_cannot_be_is_refused(owner, values, on, code):
    """What is thrown out has none; an unknown way, one below nil or beyond belief, a day before the cut or to come."""
    with refused(code):
        value_ways(by=owner, lot=LotFactory(), on=on, values=values)
    assert not CutValue.objects.exists()


def test_a_value_is_undone_and_a_lot_that_has_one_is_not(owner):
    """First the value, then the lot."""
    lot = LotFactory()
    value, = value_ways(by=owner, lot=lot, on=JULY_1, values={"hung": 1500})
    with refused("rested_on"):
        undo_lot(by=owner, lot=lot)
    undo_cut_value(by=owner, cut_value=value)
    undo_lot(by=owner, lot=lot)
    with refused("undone"):
        value_ways(by=owner, lot=lot, on=JULY_1, values={"hung": 1500})


def test_a_hand_keeps_no_value(hand):
    """It is a matter of money."""
    with pytest.raises(PermissionDenied):
        value_ways(by=hand, lot=LotFactory(), on=JULY_1, values={"hung": 1500})


def test_values_are_kept_on_the_lots_page_and_hidden_from_a_hand(owner, hand, client_as):
    """Typed as money, shown with their undo, offered again; the hand's page has neither."""
    lot, client = LotFactory(), client_as(owner)
    url = reverse("growing:value_ways", args=[lot.pk])
    assert fill(client, url, hung="15.17", on="2024-07-02").url == lot.get_absolute_url()

    assert "15.17" in read(client, lot.get_absolute_url()) and 'value="15.17"' in read(client, url)
    assert "15.17" not in read(client_as(hand), lot.get_absolute_url())
    fill(client, reverse("growing:undo_cut_value", args=[CutValue.objects.get().pk]))
    assert kept(lot) == {}


def test_two_days_are_too_long_until_a_limit_is_set(hand):
    """From 2 July one day, from 5 July three; undone, the one before."""
    one_day = set_water_limit(by=hand, on=JULY_2, days=1)
    set_water_limit(by=hand, on=JULY_5, days=3)

    assert [days_in_water(on) for on in (JULY_1, JULY_2, JULY_5)] == [2, 1, 3]
    undo_water_limit(by=hand, water_limit=one_day)
    assert days_in_water(JULY_3) == 2


@pytest.mark.parametrize(("days", "on", "code"), [
    (0, JULY_1, "min_value"), (61, JULY_1, "max_value"), (2, date(2099, 1, 1), "not_yet"),
])
def test_an_absurd_limit_is_refused(hand, days, on, code):
    """None, two months, a day to come."""
    with refused(code):
        set_water_limit(by=hand, on=on, days=days)


def test_a_lot_is_too_long_in_water_by_the_limit_of_the_day(hand):
    """Cut on 1 July: too long on the 2nd with a limit of one day, on the 3rd without; not once all has left."""
    lot = LotFactory(on=JULY_1)
    assert [Lot.objects.too_long_in_water(on).count() for on in (JULY_2, JULY_3)] == [0, 1]
    set_water_limit(by=hand, on=JULY_1, days=1)
    assert list(Lot.objects.too_long_in_water(JULY_2)) == [lot]
    assert any("1 lot has stood in water too long" in str(says) for says, _url in notes(hand, JULY_2))
    PartingFactory(lot=lot, on=JULY_2, stems=1000)
    assert not Lot.objects.too_long_in_water(JULY_3).exists()


def test_lists_and_pages_mark_it(hand, client_as):
    """Cut long ago and still in water: the lot, the list and its sifting say so; what has all left is not there."""
    lot, gone, client = LotFactory(), PartingFactory(stems=1000).lot, client_as(hand)
    page = read(client, f"{reverse('growing:lots')}?state=too_long")

    assert lot.get_absolute_url() in page and gone.get_absolute_url() not in page
    assert "days: too long" in read(client, lot.get_absolute_url())
    assert "days: too long" not in read(client, gone.get_absolute_url())


def test_the_limit_is_set_and_undone_on_its_pages(hand, client_as):
    """The list shows it from its day."""
    client, url = client_as(hand), reverse("growing:water_limits")
    fill(client, reverse("growing:set_water_limit"), days=17, on="2024-07-01")

    assert '<td class="number">17' in read(client, url)
    fill(client, reverse("growing:undo_water_limit", args=[WaterLimit.objects.get().pk]))
    assert '<td class="number">17' not in read(client, url)
