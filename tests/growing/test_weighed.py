"""Lots by weight, and what came in dry."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.growing.actions import CutRow, came_in_dry, cut, cut_round, draw_stems, undo_lot, undo_parting
from ledger.growing.models import Lot, Parting
from ledger.growing.queries import stems_left_ever
from tests.factories.growing import LotFactory, PlantingFactory
from tests.filling import fill, read
from tests.refusals import refused

JULY, NEXT = date(2024, 7, 1), date(2024, 7, 2)
WEIGHED = {"fresh_g": 5000, "sample_stems": 20, "sample_g": 410}


def cut_some(by, **given):
    """A lot of full stems of a planting of its own."""
    return cut(by=by, **{"planting": PlantingFactory(), "on": JULY, "stage": "full", **given})


def test_a_weighed_lot_is_about_so_many_stems(hand):
    """5000 g of which 20 stems weigh 410 g are 243.9, about 244."""
    lot = cut_some(hand, **WEIGHED)

    assert (lot.stems, lot.about, lot.bundles) == (244, True, None)
    assert (lot.fresh_g, lot.sample_stems, lot.sample_g) == (5000, 20, 410)


@pytest.mark.parametrize(("given", "code"), [
    ({"sample_g": None}, "no_count"), ({"sample_stems": None}, "no_count"), ({"fresh_g": None}, "no_count"),
    ({"sample_g": 5001}, "too_heavy"), ({"stems": 244}, "counted_twice"), ({"bundles": 4, "per_bundle": 61}, "counted_twice"),
    ({"sample_stems": 1_000_000, "sample_g": 1}, "max_value"), ({"fresh_g": 10_000_001}, "max_value"),
    ({"fresh_g": -5}, "too_heavy"),
])
def test_a_weight_that_says_too_little_or_too_much_is_refused(hand, given, code):
    """All three or none, the sample within the whole, counted or weighed, and within belief."""
    with refused(code):
        cut_some(hand, **{**WEIGHED, **given})
    assert not Lot.objects.exists()


def test_what_comes_in_dry_leaves_the_water_at_once(hand):
    """All 300 stems part as cut dry that day; the lot is undone with its parting."""
    lot = cut_some(hand, stems=300, dry=True)
    parting = lot.partings.get()

    assert (parting.way, parting.stems, parting.on, stems_left_ever(lot)) == ("cut_dry", 300, JULY, 0)
    undo_lot(by=hand, lot=lot)
    assert not Parting.objects.standing().exists()


def test_part_of_a_lot_is_found_dry(hand):
    """Forty of a thousand; more than are left or a day too early is refused; undone they are back."""
    lot = LotFactory(on=JULY)
    dry = came_in_dry(by=hand, lot=lot, on=NEXT, stems=40)

    with refused("too_many"):
        came_in_dry(by=hand, lot=lot, on=NEXT, stems=961)
    with refused("too_early"):
        came_in_dry(by=hand, lot=lot, on=date(2024, 6, 30), stems=1)
    with refused("rested_on"):
        undo_lot(by=hand, lot=lot)
    undo_parting(by=hand, parting=dry)
    assert stems_left_ever(lot) == 1000


def test_a_lot_of_which_some_was_drawn_is_not_undone_though_dry(hand):
    """The dry part alone does not make it free."""
    lot = LotFactory(on=JULY)
    came_in_dry(by=hand, lot=lot, on=JULY, stems=400)
    draw_stems(by=hand, lot=lot, on=JULY, stems=10)

    with refused("rested_on"):
        undo_lot(by=hand, lot=lot)


def test_a_row_of_the_round_comes_in_dry(hand):
    """Only the row that says so."""
    grass, other = PlantingFactory(), PlantingFactory()
    cut_round(by=hand, on=JULY, rows=[CutRow(grass, "seed", stems=80, dry=True), CutRow(other, "full", stems=30)])

    assert [stems_left_ever(Lot.objects.get(planting=one)) for one in (grass, other)] == [0, 30]


def test_the_round_has_a_tick_for_dry(hand, client_as):
    """Ticked on the sheet, what was cut needs no hanging."""
    key = PlantingFactory().pk
    typed = {f"n_{key}": 80, f"stage_{key}": "seed", f"dry_{key}": "on"}
    fill(client_as(hand), f"{reverse('growing:cut_round')}?on=2024-07-01", **typed)

    assert Parting.objects.get().way == "cut_dry"


def test_a_row_of_the_round_is_weighed(hand, client_as):
    """Folded away on the sheet until something stands there; half a weight is refused on its row and shown open."""
    key, client, url = PlantingFactory().pk, client_as(hand), f"{reverse('growing:cut_round')}?on=2024-07-01"
    typed = {f"fresh_g_{key}": 5000, f"sample_stems_{key}": 20, f"stage_{key}": "full"}
    answer = fill(client, url, **typed)

    assert '<details class="sift">' in read(client, url) and '<details class="sift" open>' in answer.content.decode()
    assert list(answer.context["form"].errors) == [f"fresh_g_{key}"]
    assert fill(client, url, **typed, **{f"sample_g_{key}": 410}).status_code == 302
    assert Lot.objects.get().stems == 244


def test_a_lot_is_weighed_and_dry_on_its_form(hand, client_as):
    """By weight and ticked as dry; the lot's page says what was weighed."""
    url, client = f"{reverse('growing:cut')}?planting={PlantingFactory().pk}", client_as(hand)
    fill(client, url, stage="seed", on="2024-07-01", dry="on", **WEIGHED)

    lot = Lot.objects.get()
    page = read(client, lot.get_absolute_url())
    assert "about 244" in page and "5000 g fresh; 20 stems of it weighed 410 g" in page
    assert stems_left_ever(lot) == 0


def test_the_weights_are_folded_away_until_something_stands_there(hand, client_as):
    """Closed on the empty form, open where a weight was refused; the bundle's size of the last lot does no harm."""
    planting, client = PlantingFactory(), client_as(hand)
    LotFactory(planting=planting, stems=None, bundles=2, per_bundle=25)
    url = f"{reverse('growing:cut')}?planting={planting.pk}"
    answer = fill(client, url, on="2024-07-03", fresh_g=500, sample_stems=5)

    assert '<details class="sift">' in read(client, url)
    assert answer.status_code == 422 and '<details class="sift" open>' in answer.content.decode()
    assert fill(client, url, on="2024-07-03", fresh_g=500, sample_stems=5, sample_g=100).status_code == 302


def test_found_dry_on_its_page(hand, client_as):
    """All that are left are offered."""
    lot, client = LotFactory(), client_as(hand)
    url = reverse("growing:came_in_dry", args=[lot.pk])

    assert url in read(client, lot.get_absolute_url())
    assert fill(client, url, on="2024-07-03").status_code == 302
    assert Parting.objects.get().stems == 1000


@pytest.mark.parametrize("way", ["hung", "sold_fresh", "made_up"])
def test_what_another_verb_took_is_not_undone_here(hand, way):
    """Its hanging, sale or making-up is what is undone."""
    with refused("rested_on"):
        undo_parting(by=hand, parting=Parting(way=way))


def test_a_row_that_says_no_number_is_not_forgotten(hand, client_as):
    """Ticked as dry without a number: the sheet is refused on that row, whatever else it holds."""
    first, second = PlantingFactory().pk, PlantingFactory().pk
    typed = {f"n_{first}": 80, f"stage_{first}": "full", f"dry_{second}": "on"}
    answer = fill(client_as(hand), f"{reverse('growing:cut_round')}?on=2024-07-01", **typed)

    assert list(answer.context["form"].errors) == [f"n_{second}"]
    assert not Lot.objects.exists()
