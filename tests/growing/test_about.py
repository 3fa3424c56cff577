"""Counts that are about so many."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.growing.models import Lot
from tests.factories.growing import LotFactory, PlantingFactory
from tests.filling import fill, read

CUT = {"stems": 400, "stage": "full", "on": "2024-07-01"}


@pytest.mark.parametrize(("ticked", "shown"), [({"about": "on"}, "about 400"), ({}, "400")])
def test_the_cut_form_says_whether_it_was_counted(hand, client_as, ticked, shown):
    """Ticked, the lot, its list and its planting say about."""
    planting, client = PlantingFactory(), client_as(hand)
    fill(client, reverse("growing:cut"), planting=planting.pk, **CUT, **ticked)

    lot = Lot.objects.get()
    for url in (lot.get_absolute_url(), reverse("growing:lots"), planting.get_absolute_url()):
        page = read(client, url)
        assert shown in page
        assert ("about 400" in page) == bool(ticked)


def test_a_row_of_the_round_is_about_so_many(hand, client_as):
    """Only the row that is ticked."""
    lot = LotFactory(on=date(2024, 6, 1), stems=10)
    key = lot.planting.pk
    fill(client_as(hand), f"{reverse('growing:cut_round')}?on=2024-07-01", **{f"n_{key}": 70, f"about_{key}": "on"})

    assert list(Lot.objects.order_by("on").values_list("stems", "about")) == [(10, False), (70, True)]


def test_stems_alone_are_enough_where_a_bundle_size_stands(hand, client_as):
    """The size filled in from the last lot does not turn stems into bundles."""
    lot = LotFactory(stems=None, bundles=2, per_bundle=25)
    url = f"{reverse('growing:cut')}?planting={lot.planting.pk}"
    answer = fill(client_as(hand), url, stems=70, on="2024-07-02")

    assert answer.status_code == 302
    assert Lot.objects.latest("pk").per_bundle is None
