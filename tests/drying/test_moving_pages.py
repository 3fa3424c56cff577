"""The pages of moving, of oddments and trials, of bunches hung, and of a place's bills."""

from datetime import date

import pytest
from django.urls import reverse
from django.utils.formats import date_format

from ledger.daybook.actions import BoughtLine, record_purchase
from ledger.drying.actions import keep_oddments, move_hanging, set_loss_norm
from ledger.drying.models import Hanging, Oddments
from ledger.facts.models import CostKind
from tests.drying.test_pages import press, words
from tests.factories.drying import HangingFactory, LotFactory, PlaceFactory, TakingDownFactory

JULY_2, JULY_10, JULY_20 = date(2024, 7, 2), date(2024, 7, 10), date(2024, 7, 20)


@pytest.fixture
def as_owner(owner, client_as):
    """The owner's browser."""
    return client_as(owner)


def test_a_hanging_is_moved_from_its_page(as_owner):
    """The form offers all that is up; then both hangings name each other."""
    hanging, shed = HangingFactory(stems=100, room=7), PlaceFactory()
    address = reverse("drying:move_hanging", args=[hanging.pk])
    assert address in words(as_owner, "drying:hanging", hanging.pk)
    form = as_owner.get(address).context["form"]
    assert (form["stems"].value(), form["room"].value()) == (100, 7)

    answer = press(as_owner, "drying:move_hanging", hanging.pk, place=shed.pk, stems=40, room=4)

    moved = Hanging.objects.get(moved_from=hanging)
    assert answer.url == moved.get_absolute_url()
    page = words(as_owner, "drying:hanging", moved.pk)
    for told in (f"Moved {date_format(JULY_20)}", f"since {date_format(JULY_2)}", hanging.get_absolute_url(), "Undo this move"):
        assert told in page
    assert moved.get_absolute_url() in words(as_owner, "drying:hanging", hanging.pk)


def test_a_move_refused_says_so_at_its_field(as_owner):
    """Too wide for the place."""
    hanging = HangingFactory(stems=100)

    answer = press(as_owner, "drying:move_hanging", hanging.pk, place=PlaceFactory(room=3).pk, stems=40, room=4)

    assert answer.status_code == 422 and "room" in answer.context["form"].errors


def test_the_loft_round_leads_to_moving_and_counts_bunches(as_owner):
    """A row has its link, and says how many bunches are still up."""
    hanging = HangingFactory(stems=120, bunch_stems=10)
    TakingDownFactory(hanging=hanging, stems=25)

    page = words(as_owner, "drying:take_down_round", hanging.place.pk, on="2024-07-20")

    assert reverse("drying:move_hanging", args=[hanging.pk]) in page
    assert "9 bunches of 10 up" in page


def test_bunches_make_up_the_stems_on_the_form(as_owner):
    """Twelve bunches of ten, whatever the form offered; a trial is ticked."""
    lot, place = LotFactory(), PlaceFactory()

    press(
        as_owner, "drying:hang", lot.pk, lot=lot.pk, stems=1000, place=place.pk, room=2, bundles=12, bunch_stems=10, trial="on",
    )

    hanging = Hanging.objects.get()
    assert (hanging.stems, hanging.bundles, hanging.bunch_stems, hanging.trial) == (120, 12, 10, True)
    page = words(as_owner, "drying:hanging", hanging.pk)
    assert "12 bunches of 10 up" in page and "A trial" in page


def test_stems_or_bunches_are_wanted(as_owner):
    """A form that says neither is shown again."""
    lot, place = LotFactory(), PlaceFactory()

    answer = press(as_owner, "drying:hang", lot.pk, lot=lot.pk, stems="", place=place.pk, room=2, bundles=12)

    assert answer.status_code == 422 and "stems" in answer.context["form"].errors


def test_oddments_are_kept_and_undone_from_the_page(as_owner):
    """The form offers what was lost and not kept; the list and the hanging show what it is worth."""
    hanging = TakingDownFactory(hanging__stems=100, stems=100, losses={"mould": 20}).hanging
    assert as_owner.get(reverse("drying:keep_oddments", args=[hanging.pk])).context["form"]["stems"].value() == 20

    press(as_owner, "drying:keep_oddments", hanging.pk, stems=15, value="1.50")

    kept = Oddments.objects.get()
    assert (kept.stems, kept.value) == (15, 150)
    assert "1.50" in words(as_owner, "drying:hanging", hanging.pk) and "1.50" in words(as_owner, "drying:oddments")
    press(as_owner, "drying:undo_oddments", kept.pk, number=2)
    assert not Oddments.objects.standing()


def test_a_hand_keeps_oddments_and_is_not_shown_their_worth(owner, hand, client_as):
    """What things cost is for those who may see it."""
    hanging = TakingDownFactory(hanging__stems=100, stems=100, losses={"mould": 20}).hanging
    keep_oddments(by=owner, hanging=hanging, on=JULY_20, stems=15, value=123456)

    client = client_as(hand)

    assert "1234.56" not in words(client, "drying:oddments") + words(client, "drying:hanging", hanging.pk)


def test_a_trial_is_marked_later(as_owner):
    """The form ticks the other of what is so; the list can be sifted for trials."""
    hanging, other = HangingFactory(), HangingFactory()
    assert as_owner.get(reverse("drying:mark_trial", args=[hanging.pk])).context["form"]["trial"].value() is True

    press(as_owner, "drying:mark_trial", hanging.pk, trial="on")

    for state, found in (("yes", hanging), ("no", other)):
        rows = as_owner.get(reverse("drying:hangings"), {"trial": state}).context["table"].rows
        assert [row.record for row in rows] == [found]


def test_a_usual_loss_says_where_it_is_known_from(as_owner, owner):
    """Learnt from two hangings; then entered."""
    lot = LotFactory()
    for lost in (10, 20):
        TakingDownFactory(hanging__lot=lot, hanging__stems=100, stems=100, losses={"mould": lost})
    up = HangingFactory(lot=lot)
    for page, args in (("drying:loss_norms", ()), ("drying:hanging", (up.pk,))):
        assert "learnt from 2 hangings" in words(as_owner, page, *args)

    set_loss_norm(by=owner, variety=lot.planting.variety, on=JULY_10, share_bp=700)

    assert f"entered, from {date_format(JULY_10)}" in words(as_owner, "drying:hanging", up.pk)


def test_a_place_counts_moved_stems_and_shows_its_bills(as_owner, owner):
    """Hung since the first day; the bill that covers August stands on the page of the place it heats."""
    shed = PlaceFactory()
    move_hanging(by=owner, hanging=HangingFactory(stems=100), on=JULY_10, place=shed, stems=100, room=4)
    bill = BoughtLine(
        "Fan power", CostKind.objects.get(code="power"), 4321, 0, [(shed.cost_object, 1)], date(2024, 8, 1), date(2024, 8, 31)
    )
    record_purchase(by=owner, on=date(2024, 9, 2), supplier="Grid", lines=[bill])

    page = words(as_owner, "drying:place", shed.pk)

    for told in (date_format(JULY_2), "Fan power", "43.21", date_format(date(2024, 8, 31))):
        assert told in page


def test_a_bill_for_a_place_is_begun_from_its_page(as_owner):
    """The purchase's form knows the place, the kind of cost and what it was for."""
    place = PlaceFactory()
    address = next(link.url for link in as_owner.get(place.get_absolute_url()).context["links"] if "kind_0" in link.url)

    form = as_owner.get(address).context["form"]

    assert str(form["kind_0"].value()) == str(CostKind.objects.get(code="power").pk)
    assert form["description_0"].value() == "Heat and fan power"
    assert place.pk in [int(number) for number in form["spent_on_0"].value()]
