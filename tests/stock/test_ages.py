"""How old the stock is, and what is past its best."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from ledger.facts.queries import today
from ledger.stock.actions import draw, set_keeps_for, undo_keeps_for
from ledger.stock.models import Batch, KeepsFor
from ledger.stock.queries import best_until, by_age, days_at_best, past_best
from ledger.stock.today import notes
from tests.factories.drying import VarietyFactory
from tests.factories.stock import LineFactory, batch_of
from tests.refusals import refused
from tests.stock.browsing import listed, press, words

AUGUST_1, AUGUST_5 = date(2024, 8, 1), date(2024, 8, 5)


def past(on):
    """The batches on hand past their best on a day."""
    return list(past_best(Batch.objects.whole().on_hand_on(on), on))


def test_nothing_is_past_its_best_where_nobody_said_how_long(batch):
    """Made on 1 August 2024, and no day is named."""
    assert past(date(2025, 8, 1)) == []
    assert best_until(batch, days_at_best(AUGUST_5)) is None


def test_the_last_day_is_still_a_good_one(owner, batch):
    """Ten days from 1 August: good on the 11th, past on the 12th."""
    set_keeps_for(by=owner, on=AUGUST_1, days=10)

    assert best_until(batch, days_at_best(AUGUST_5)) == date(2024, 8, 11)
    assert (past(date(2024, 8, 11)), past(date(2024, 8, 12))) == ([], [batch])


def test_a_species_keeps_as_long_as_is_said_of_itself(owner, line, batch):
    """Ten days for any, thirty for this one: only the other is past its best, and so is a wreath."""
    other = batch_of(LineFactory(variety=VarietyFactory(species__name="Teasel")), 3)
    set_keeps_for(by=owner, on=AUGUST_1, days=10)
    set_keeps_for(by=owner, on=AUGUST_1, days=30, species=line.variety.species)

    assert past(date(2024, 8, 20)) == [other]
    assert past(date(2024, 9, 1)) == [batch, other]


def test_what_is_said_last_holds_from_its_day(owner, batch):
    """Ten days, from the 10th on forty; undone, ten again."""
    set_keeps_for(by=owner, on=AUGUST_1, days=10)
    later = set_keeps_for(by=owner, on=date(2024, 8, 10), days=40)
    assert (days_at_best(AUGUST_5), days_at_best(date(2024, 8, 10))) == ({None: 10}, {None: 40})

    undo_keeps_for(by=owner, keeps_for=later)

    assert days_at_best(date(2024, 8, 10)) == {None: 10}
    with refused("already_undone"):
        undo_keeps_for(by=owner, keeps_for=later)


def test_what_is_gone_is_not_past_its_best(owner, box, batch):
    """All twenty drawn."""
    set_keeps_for(by=owner, on=AUGUST_1, days=1)
    draw(by=owner, on=AUGUST_5, batch=batch, box=box, bunches=20, reason="display")

    assert past(AUGUST_5) == []


def test_no_days_at_all_are_refused(owner):
    """Nil days, and a day that has not come."""
    with refused("min_value"):
        set_keeps_for(by=owner, on=AUGUST_1, days=0)
    with refused("not_yet"):
        set_keeps_for(by=owner, on=today() + timedelta(days=1), days=10)


def test_the_second_press_says_it_once(owner):
    """One form, one fact."""
    given = {"by": owner, "on": AUGUST_1, "days": 10, "key": "a-form"}

    assert set_keeps_for(**given) == set_keeps_for(**given)
    assert KeepsFor.objects.count() == 1


def test_a_seller_does_not_say_how_long_bunches_keep(seller):
    """Boxes are the hand's."""
    with pytest.raises(PermissionDenied):
        set_keeps_for(by=seller, on=AUGUST_1, days=10)


def test_stock_falls_into_classes_of_age(batch):
    """90 days old is the first class, 91 the second; a class with nothing is left out."""
    def of_age(days):
        on = AUGUST_1 + timedelta(days=days)
        return [(one.least, one.batches, one.bunches) for one in by_age(Batch.objects.on_hand_on(on), on)]

    assert (of_age(90), of_age(91), of_age(731)) == ([(0, 1, 20)], [(91, 1, 20)], [(731, 1, 20)])


def test_the_page_says_how_old_and_what_is_past_its_best(as_owner, owner, batch):
    """Each batch with its days, those past their best alone when asked."""
    fresh = batch_of(LineFactory(), 2, on=today() - timedelta(days=3))
    press(as_owner, "stock:set_keeps_for", days=100, species="")

    page = words(as_owner, "stock:ages")

    assert f'<td class="number">{(today() - AUGUST_1).days}</td>' in page
    assert "1 batch on hand is past its best." in page
    assert listed(as_owner, "stock:ages") == [batch, fresh]
    assert listed(as_owner, "stock:ages", state="past") == [batch]
    assert ("1 batch is past its best", f"{reverse('stock:ages')}?state=past") in list(notes(owner, today()))


def test_the_value_is_shown_to_those_who_see_costs(client_as, owner, hand, batch):
    """The owner opens what it cost; a hand is not led there and is refused."""
    set_keeps_for(by=owner, on=AUGUST_1, days=1)
    url = f"{reverse('costing:worth')}?n_{batch.pk}=20"

    assert url in words(client_as(owner), "stock:ages")
    assert url not in words(client_as(hand), "stock:ages")
    assert client_as(hand).get(url).status_code == 403


def test_how_long_bunches_keep_is_listed_and_undone(as_owner, owner):
    """With a link that takes it back."""
    said = set_keeps_for(by=owner, on=AUGUST_1, days=123)
    assert "123" in words(as_owner, "stock:keeps_for") and "any species" in words(as_owner, "stock:keeps_for")

    press(as_owner, "stock:undo_keeps_for", said.pk)

    assert listed(as_owner, "stock:keeps_for") == []
