"""The pages of growing, as a person meets them."""


import pytest
from django.urls import reverse

from ledger.growing.models import Clearing, Lot, Parting, Planting
from tests.filling import fill
from tests.thread import plant, spin_thread

LISTS = ["plots", "beds", "species_list", "varieties", "plantings", "lots", "partings"]


@pytest.mark.parametrize("name", LISTS)
def test_every_list_shows_its_rows(owner, client_as, name):
    """Each list opens, and shows what the season recorded."""
    spin_thread(owner)
    page = client_as(owner).get(reverse(f"growing:{name}"))

    assert page.status_code == 200
    assert "Strawflower" in page.content.decode()


def test_a_planting_shows_where_it_came_from_and_went(owner, client_as):
    """Its page names its bed, what is expected of it and its lot; so does the lot's."""
    thread = spin_thread(owner)
    client = client_as(owner)
    planting = client.get(thread.planting.get_absolute_url()).content.decode()
    lot = client.get(thread.lot.get_absolute_url()).content.decode()

    assert thread.planting.bed.get_absolute_url() in planting
    assert thread.lot.get_absolute_url() in planting
    assert thread.hanging.get_absolute_url() in lot


@pytest.mark.parametrize("kind", ["plot", "bed", "variety"])
def test_records_of_the_ground_have_a_page(owner, client_as, kind):
    """Plot, bed and variety each lead on to what stands there."""
    planting = plant(owner)
    record = {"plot": planting.bed.plot, "bed": planting.bed, "variety": planting.variety}[kind]
    page = client_as(owner).get(record.get_absolute_url())

    assert page.status_code == 200


def test_cutting_by_bundles_makes_a_lot(hand, owner, client_as):
    """A hand enters eight bundles of 25: a lot of 200 stems."""
    planting = plant(owner)
    sent = fill(
        client_as(hand), reverse("growing:cut"), planting=planting.pk, bundles=8, per_bundle=25, stage="full", on="2024-07-01"
    )

    assert sent.status_code == 302
    assert Lot.objects.get().stems == 200


def test_refused_form_keeps_what_was_typed(hand, owner, client_as):
    """A cutting before the planting is refused on its day, and every field stays."""
    planting = plant(owner)
    page = fill(client_as(hand), reverse("growing:cut"), planting=planting.pk, stems=75, stage="full", on="2024-03-01")

    text = page.content.decode()
    assert page.status_code == 422
    assert "It was planted only on" in text
    assert 'value="75"' in text
    assert not Lot.objects.exists()


def test_second_press_counts_once(hand, owner, client_as):
    """The same form sent twice makes one lot, and both presses lead to it."""
    planting = plant(owner)
    client = client_as(hand)
    form = client.get(reverse("growing:cut")).context["form"]
    typed = {"planting": planting.pk, "stems": 5, "stage": "full", "on": "2024-07-01", "form_key": form["form_key"].value()}
    first, second = (client.post(reverse("growing:cut"), typed) for _ in range(2))

    assert first.url == second.url
    assert Lot.objects.count() == 1


def test_plant_throw_out_clear_and_undo(owner, client_as):
    """Every verb of the bed has a page, and an undo that takes it back."""
    planting = plant(owner)
    client = client_as(owner)
    fill(client, reverse("growing:cut"), planting=planting.pk, stems=50, stage="tight", on="2024-07-01")
    lot = Lot.objects.get()
    fill(client, reverse("growing:throw_out", args=[lot.pk]), stems=20, why="slugs", on="2024-07-01")
    fill(client, reverse("growing:clear", args=[planting.pk]), on="2024-10-01")
    fill(client, reverse("growing:undo_clearing", args=[Clearing.objects.get().pk]))
    fill(client, reverse("growing:undo_parting", args=[Parting.objects.get().pk]))
    fill(client, reverse("growing:undo_lot", args=[lot.pk]))
    fill(client, reverse("growing:undo_planting", args=[planting.pk]))

    assert not Planting.objects.standing().exists()
    assert not Lot.objects.standing().exists()


def test_planting_by_form_takes_last_expectation(owner, client_as):
    """Planting through the page with a number expected keeps it."""
    first = plant(owner, name="Statice")
    client = client_as(owner)
    url = reverse("growing:plant")
    sent = fill(client, url, variety=first.variety_id, bed=first.bed_id, area_m2="1", on="2024-05-01", season=2024)

    assert sent.status_code == 422
    assert "Only 0" in sent.content.decode()


def test_hands_see_no_money_and_bookkeepers_enter_no_field(hand, bookkeeper, owner, client_as):
    """A hand's planting page opens no cost; a bookkeeper may not record a cutting."""
    thread = spin_thread(owner)
    page = client_as(hand).get(thread.planting.get_absolute_url()).content.decode()

    assert "costs/figure/" not in page and "costs/of/" not in page
    assert client_as(bookkeeper).get(reverse("growing:cut")).status_code == 403
