"""A whole count sheet typed in at once."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.stock.actions import begin_take, count_in_take, count_sheet, end_take, undo_counted
from ledger.stock.models import TakeCounted
from tests.factories.stock import BoxFactory, LineFactory, batch_of, there
from tests.refusals import refused
from tests.stock.browsing import AUGUST_5, press, words
from tests.stock.taking import AUGUST_6


@pytest.fixture
def take(owner):
    """A stock-take of everything."""
    return begin_take(by=owner, on=AUGUST_5)


@pytest.fixture
def second(line):
    """Six in a box on B1."""
    return batch_of(line, 6, box=BoxFactory(shelf="B1"))


@pytest.fixture
def loose(line):
    """Four not yet boxed."""
    return batch_of(line, 4)


def noted(take):
    """What stands counted: batch and number."""
    return list(take.counted.standing().order_by("pk").values_list("batch", "counted"))


def field(batch, box):
    """The name of a batch's number in a place."""
    return f"counted_{box.pk if box else 'none'}_{batch.pk}"


def box_of(batch):
    """The one box a batch lies in."""
    return batch.contents.get(bunches__gt=0).box


def test_every_place_of_the_sheet_is_noted_at_once(hand, box, batch, second, loose, take):
    """Seventeen on A1, six on B1, three loose; nothing is put right before the end, each count is undone by itself."""
    sheet = {box: {batch: 17}, box_of(second): {second: 6}, None: {loose: 3}}
    rows = count_sheet(by=hand, on=AUGUST_5, take=take, counted=sheet)

    assert noted(take) == [(batch.pk, 17), (second.pk, 6), (loose.pk, 3)]
    assert there(batch) == [(box.code, 20)]
    undo_counted(by=hand, counted=rows[1])
    assert noted(take) == [(batch.pk, 17), (loose.pk, 3)]
    end_take(by=hand, on=AUGUST_6, take=take, reasons={row.pk: "mice" for row in rows})
    assert there(batch) == [(box.code, 17)]


def test_a_sheet_is_noted_whole_or_not_at_all(owner, line, box, batch, second, take):
    """A place that is no part of the stock-take keeps the others out too; an empty sheet and an ended one are refused."""
    of_shelf = begin_take(by=owner, on=AUGUST_5, shelf="A1")
    with refused("not_in_take"):
        count_sheet(by=owner, on=AUGUST_5, take=of_shelf, counted={box: {batch: 17}, box_of(second): {second: 6}})
    assert not TakeCounted.objects.exists()
    with refused("nothing_counted"):
        count_sheet(by=owner, on=AUGUST_5, take=take, counted={box: {}})
    count_sheet(by=owner, on=AUGUST_5, take=take, counted={box: {batch: 20}})
    end_take(by=owner, on=AUGUST_6, take=take, reasons={})
    with refused("ended"):
        count_sheet(by=owner, on=AUGUST_6, take=take, counted={box: {batch: 19}})


def test_the_page_shows_the_whole_sheet_and_notes_what_is_typed(as_owner, box, batch, second, loose, take):
    """In order of shelf, the loose last; an empty field is not counted."""
    page = words(as_owner, "stock:count_sheet", take.pk)
    assert page.index(f"box {box.code}") < page.index(f"box {box_of(second).code}") < page.index("Not yet boxed")
    assert "The record says" not in page

    answer = press(as_owner, "stock:count_sheet", take.pk, **{field(batch, box): "17", field(loose, None): "0"})
    assert answer.url == take.get_absolute_url()
    assert noted(take) == [(batch.pk, 17), (loose.pk, 0)]


def test_a_number_left_as_it_was_is_not_counted_anew(owner, as_owner, box, batch, second, take):
    """Seventeen stand in the field; sent again with the second box, the first count stays the one it was."""
    [before] = count_in_take(by=owner, on=AUGUST_5, take=take, box=box, counted={batch: 17})
    typed = {field(batch, box): "17", field(second, box_of(second)): "6"}
    press(as_owner, "stock:count_sheet", take.pk, **typed)

    assert take.counted.standing().get(batch=batch) == before
    again = press(as_owner, "stock:count_sheet", take.pk, number=2, **typed)
    assert again.status_code == 422 and "not noted already" in str(again.context["form"].errors)
    press(as_owner, "stock:count_sheet", take.pk, number=3, **{**typed, field(batch, box): "16"})
    assert take.counted.standing().get(batch=batch).replaces == before


def test_a_number_left_as_shown_is_not_counted_though_it_was_counted_anew_since(owner, as_owner, box, batch, second, take):
    """Seventeen stood in the field when the page was opened; meanwhile nineteen were counted, which stays."""
    count_in_take(by=owner, on=AUGUST_5, take=take, box=box, counted={batch: 17})
    name = f"initial-{field(batch, box)}"
    shown = as_owner.get(reverse("stock:count_sheet", args=[take.pk])).content.decode()
    assert f'<input type="hidden" name="{name}" value="17"' in shown
    count_in_take(by=owner, on=AUGUST_5, take=take, box=box, counted={batch: 19})

    typed = {field(batch, box): "17", name: "17", field(second, box_of(second)): "6"}
    press(as_owner, "stock:count_sheet", take.pk, **typed)
    assert noted(take) == [(batch.pk, 19), (second.pk, 6)]

    press(as_owner, "stock:count_sheet", take.pk, number=2, **{**typed, field(batch, box): "18"})
    assert noted(take) == [(second.pk, 6), (batch.pk, 18)]


def test_figures_are_shown_where_the_stock_take_shows_them(owner, as_owner, batch):
    """Twenty by the record."""
    shown = begin_take(by=owner, on=AUGUST_5, shown=True)

    assert "The record says 20." in words(as_owner, "stock:count_sheet", shown.pk)


def test_the_second_press_notes_once(as_owner, box, batch, take):
    """The same form sent twice leads to the same page."""
    for _again in "12":
        assert press(as_owner, "stock:count_sheet", take.pk, **{field(batch, box): "17"}).status_code == 302

    assert TakeCounted.objects.count() == 1


def asked(client, address):
    """How many statements a page takes."""
    with CaptureQueriesContext(connection) as found:
        assert client.get(address).status_code == 200
    return len(found)


def test_the_page_asks_as_often_however_many_boxes(as_owner, batch, take):
    """Three more boxes of other lines cost no more statements."""
    address = reverse("stock:count_sheet", args=[take.pk])
    asked(as_owner, address)
    before = asked(as_owner, address)
    for _more in "123":
        batch_of(LineFactory(), 5, box=BoxFactory())

    assert asked(as_owner, address) == before


def test_who_keeps_no_boxes_types_no_sheet(client_as, bookkeeper, take):
    """The bookkeeper reads the stock-take only."""
    assert client_as(bookkeeper).get(reverse("stock:count_sheet", args=[take.pk])).status_code == 403
