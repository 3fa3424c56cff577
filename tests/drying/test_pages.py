"""The pages of drying."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.drying.actions import mark_disaster, set_loss_norm
from ledger.drying.models import Disaster, Hanging, LossNorm, Place, TakingDown
from ledger.drying.today import notes
from tests.factories.drying import HangingFactory, LotFactory, PlaceFactory, TakingDownFactory
from tests.factories.stock import LineFactory, run_of

JULY_2, JULY_20 = date(2024, 7, 2), date(2024, 7, 20)


@pytest.fixture
def as_owner(owner, client_as):
    """The owner's browser."""
    return client_as(owner)


def key(number):
    """A form's key."""
    return f"00000000-0000-0000-0000-{number:012d}"


def words(client, page, *args, **query):
    """What a page says."""
    answer = client.get(reverse(page, args=args), query)
    assert answer.status_code == 200
    return answer.content.decode()


def press(client, page, *args, number=1, **sent):
    """Send a verb's form."""
    return client.post(reverse(page, args=args), {"form_key": key(number), "on": "2024-07-20", **sent})


@pytest.mark.parametrize(
    "name", ["hangings", "takings_down", "places", "loss_norms", "hang", "add_place", "set_loss_norm"]
)
def test_every_list_and_form_opens_on_an_empty_ledger(as_owner, name):
    """Nothing yet is no fault."""
    assert "<h1>" in words(as_owner, f"drying:{name}")


def test_hangings_are_sifted_and_sorted(as_owner):
    """By place, by whether any is up, by variety; sorted by any column."""
    up = HangingFactory(stems=11)
    down = TakingDownFactory(hanging__stems=22, stems=22).hanging
    variety = up.parting.lot.planting.variety

    assert str(up.place) in words(as_owner, "drying:hangings", state="up")
    rows = as_owner.get(reverse("drying:hangings"), {"state": "down"}).context["table"].rows
    assert [row.record for row in rows] == [down]
    rows = as_owner.get(reverse("drying:hangings"), {"variety": variety.pk, "place": up.place.pk}).context["table"].rows
    assert [row.record for row in rows] == [up]
    rows = as_owner.get(reverse("drying:hangings"), {"sort": "stems_up"}).context["table"].rows
    assert [row.record for row in rows] == [down, up]


def test_a_list_of_many_has_leaves(as_owner, django_assert_max_num_queries):
    """Twenty-five to the leaf, and no query per row."""
    lot, place = LotFactory(), PlaceFactory()
    for _ in range(26):
        HangingFactory(lot=lot, place=place, stems=1)

    with django_assert_max_num_queries(20):
        assert "Leaf 1 of 2" in words(as_owner, "drying:hangings")
    assert len(as_owner.get(reverse("drying:hangings"), {"page": 2}).context["table"].page.object_list) == 1


def test_a_hanging_shows_where_it_came_from_and_went(as_owner):
    """Its lot and place, what came down, the run it was bunched in."""
    hanging = TakingDownFactory(hanging__stems=100, stems=100, losses={"mould": 20}).hanging
    run = run_of(LineFactory(stems=10), 8, hanging=hanging)

    page = words(as_owner, "drying:hanging", hanging.pk)

    for told in (hanging.parting.lot, hanging.place, run, "mould", "20.0"):
        assert str(told).split(".")[0] in page
    assert run.get_absolute_url() in page
    assert "It lost far more than is usual" in page


def test_stems_are_hung_from_the_lot_in_the_address(as_owner):
    """The form knows the lot and what is left of it."""
    lot, place = LotFactory(stems=300), PlaceFactory()
    page = words(as_owner, "drying:hang", lot.pk)
    assert 'value="300"' in page and "300 in water" in page

    answer = press(as_owner, "drying:hang", lot=lot.pk, stems=200, place=place.pk, room=2, on="2024-07-02")

    assert answer["Location"] == Hanging.objects.get().get_absolute_url()


def test_a_refusal_keeps_what_was_typed(as_owner):
    """More than is in water: said on the field, the number still there."""
    lot, place = LotFactory(stems=300), PlaceFactory()

    answer = press(as_owner, "drying:hang", lot=lot.pk, stems=301, place=place.pk, room=2, on="2024-07-02")

    assert answer.status_code == 422
    assert "Only 300 stems of this lot are left." in answer.content.decode()
    assert 'value="301"' in answer.content.decode()
    assert answer.context["form"].errors["stems"]


def test_stems_come_down_with_losses_by_reason(as_owner):
    """A reason named twice counts together."""
    hanging = HangingFactory(stems=100)
    assert 'value="100"' in words(as_owner, "drying:take_down", hanging.pk)

    answer = press(
        as_owner, "drying:take_down", hanging.pk, stems=90, lost_1=5, reason_1="mould", lost_2=3, reason_2="mould",
        lost_3=2, reason_3="dropped", dried_g=300,
    )

    assert answer["Location"] == hanging.get_absolute_url()
    taking = TakingDown.objects.get()
    assert (taking.sound, taking.dried_g) == (80, 300)
    assert set(taking.losses.values_list("reason", "stems")) == {("mould", 8), ("dropped", 2)}
    assert "dropped" in words(as_owner, "drying:taking_down", taking.pk)
    assert "90" in words(as_owner, "drying:takings_down", since="2024-07-01")


def test_a_loss_needs_its_reason(as_owner):
    """Five lost of no reason: refused, nothing recorded."""
    answer = press(as_owner, "drying:take_down", HangingFactory(stems=100).pk, stems=90, lost_2=5)

    assert answer.status_code == 422
    assert answer.context["form"].errors["reason_2"]
    assert not TakingDown.objects.exists()


def test_the_second_press_of_the_button_counts_once(as_owner):
    """The same form sent twice takes down once and goes to the same page."""
    hanging = HangingFactory(stems=100)

    first = press(as_owner, "drying:take_down", hanging.pk, stems=50)
    second = press(as_owner, "drying:take_down", hanging.pk, stems=50)

    assert first["Location"] == second["Location"]
    assert TakingDown.objects.count() == 1


def test_a_disaster_is_marked_and_unmarked(as_owner):
    """What happened stands on the hanging's page until the mark is taken away."""
    hanging = TakingDownFactory(hanging__stems=100, stems=100, losses={"mould": 90}).hanging

    press(as_owner, "drying:mark_disaster", hanging.pk, why="wet week", norm_bp="7.50")
    mark = Disaster.objects.get()
    assert mark.norm_bp == 750
    assert "wet week" in words(as_owner, "drying:hanging", hanging.pk)
    press(as_owner, "drying:undo_disaster", mark.pk, number=2)

    assert "wet week" not in words(as_owner, "drying:hanging", hanging.pk)


def test_takings_and_hangings_are_undone_on_their_pages(as_owner):
    """In the order they rest on one another."""
    taking = TakingDownFactory(hanging__stems=100)
    hanging = taking.hanging

    refused = as_owner.post(reverse("drying:undo_hanging", args=[hanging.pk]), {"form_key": key(1)})
    as_owner.post(reverse("drying:undo_taking_down", args=[taking.pk]), {"form_key": key(2)})
    as_owner.post(reverse("drying:undo_hanging", args=[hanging.pk]), {"form_key": key(3)})

    assert refused.status_code == 422
    assert not Hanging.objects.standing()
    assert "counts nowhere" in words(as_owner, "drying:hanging", hanging.pk)
    assert "counts nowhere" in words(as_owner, "drying:taking_down", taking.pk)


def test_a_place_is_added_renamed_and_shows_what_to_mind(as_owner):
    """With what hangs there, and the reminders of common practice."""
    press(as_owner, "drying:add_place", name="Loft", unit="metres", room=30)
    place = Place.objects.get()
    HangingFactory(place=place, room=4)
    press(as_owner, "drying:rename_place", place.pk, number=2, name="High loft", seen="Loft")

    page = words(as_owner, "drying:place", place.pk)

    for told in ("High loft", "30 metres", ">26<", "No damp", "Dust and mould", "burns", "Work at height", "Local rules"):
        assert told in page
    assert "High loft" in words(as_owner, "drying:places", name="high")


def test_a_usual_loss_is_entered_and_undone(as_owner):
    """As a percentage, kept in hundredths of a per cent."""
    variety = LotFactory().planting.variety

    press(as_owner, "drying:set_loss_norm", variety=variety.pk, share_bp="7.5")
    norm = LossNorm.objects.get()
    assert norm.share_bp == 750
    assert "7.5" in words(as_owner, "drying:loss_norms", variety=variety.pk)
    press(as_owner, "drying:undo_loss_norm", norm.pk, number=2)

    assert not LossNorm.objects.standing()


@pytest.mark.parametrize("name", ["hang", "add_place", "set_loss_norm"])
def test_a_seller_sees_what_hangs_and_does_nothing(seller, client_as, name):
    """The lists open, the verbs do not, and are not offered."""
    client = client_as(seller)
    hanging = HangingFactory()

    assert "Take down" not in words(client, "drying:hanging", hanging.pk)
    assert client.get(reverse(f"drying:{name}")).status_code == 403


def test_nobody_reads_without_signing_in(client, owner):
    """Every page asks who is there."""
    assert client.get(reverse("drying:hangings")).status_code == 302


def test_today_says_what_should_be_dry(owner, seller):
    """Hung on 2 July, dry in twenty days: said from the 22nd, to those of the loft."""
    HangingFactory(lot__planting__variety__species__days_to_dry=20)

    assert not list(notes(owner, date(2024, 7, 21)))
    assert [says for says, _url in notes(owner, date(2024, 7, 22))] == ["1 hanging should be dry by now"]
    assert not list(notes(seller, date(2024, 7, 22)))


def test_what_is_shown_of_a_disaster_is_its_own_norm(as_owner, owner):
    """The norm kept with the mark, not a later one."""
    hanging = TakingDownFactory(hanging__stems=100, stems=100, losses={"mould": 90}).hanging
    mark_disaster(by=owner, hanging=hanging, on=JULY_20, why="wet week", norm_bp=400)
    set_loss_norm(by=owner, variety=hanging.parting.lot.planting.variety, on=JULY_20, share_bp=900)

    page = words(as_owner, "drying:hanging", hanging.pk)

    assert "4 %" in page and "9 %" not in page
