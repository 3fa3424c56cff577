"""Every page of stock: what all have in common, who may, and what today says."""

import pytest
from django.urls import reverse

from ledger.facts.queries import today
from ledger.stock.actions import hold, sell_bunches
from ledger.stock.models import Line
from ledger.stock.today import notes
from ledger.stock.views.ahead import ahead
from tests.factories.stock import BoxFactory, LineFactory, batch_of, sound_hanging
from tests.stock.browsing import AUGUST_5, words

LISTS = ["lines", "batches", "runs", "boxes", "movements", "holds", "counts"]


@pytest.mark.parametrize("name", [*LISTS, "add_line", "make_run", "new_box", "find_box", "move", "draw", "write_off", "keep"])
def test_every_list_and_form_opens_on_an_empty_ledger(as_owner, name):
    """Nothing yet is no fault."""
    assert "<h1>" in words(as_owner, f"stock:{name}")


@pytest.mark.parametrize("name", LISTS)
def test_no_list_asks_a_query_for_each_row(as_owner, owner, line, box, name, django_assert_max_num_queries):
    """Six of everything take no more queries than one."""
    for _ in range(6):
        batch_of(LineFactory(variety=line.variety, stems=line.stems + Line.objects.count()), 3, box=BoxFactory())
    for one in Line.objects.exclude(pk=line.pk):
        hold(by=owner, on=AUGUST_5, line=one, bunches=1, for_what="florist")

    with django_assert_max_num_queries(20):
        words(as_owner, f"stock:{name}")


def test_what_belongs_to_a_later_stage_is_offered_where_it_is(as_owner, line):
    """A name that is not there gives no link."""
    assert ahead("Nowhere", "sales:no_such_page") == []
    assert reverse("pricing:cost_sheet", args=[line.pk]) in words(as_owner, "stock:line", line.pk)


def test_costs_are_for_those_who_may_see_them(hand, owner, client_as, batch):
    """A hand's page has no figure of money and no way to one."""
    figure = reverse("costing:figure", args=["batch", batch.pk])

    assert figure in words(client_as(owner), "stock:batch", batch.pk)
    assert figure not in words(client_as(hand), "stock:batch", batch.pk)


def test_today_says_what_wants_doing(owner, seller, line, batch):
    """Short promises to sellers; finds, loose stems and unboxed batches to those of the boxes."""
    sound_hanging(10)
    batch_of(line, 5)
    hold(by=owner, on=AUGUST_5, line=line, bunches=25, for_what="florist")
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=26, batch=batch, beyond_record=True)

    assert [says for says, _url in notes(owner, today())] == [
        "1 promise is short", "1 find is to be checked: count the box", "1 hanging has sound stems to bunch",
        "1 batch is not yet boxed",
    ]
    assert [says for says, _url in notes(seller, today())] == ["1 promise is short"]
