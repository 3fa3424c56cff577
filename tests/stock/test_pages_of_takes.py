"""Pages of stock-takes, as people use them."""

from datetime import date
from io import BytesIO

import pytest
from pypdf import PdfReader

from ledger.stock.actions import begin_take, count_in_take, end_take, sell_bunches
from ledger.stock.models import StockTake, TakeEnd
from tests.factories.stock import BoxFactory, LineFactory, batch_of, there
from tests.stock.browsing import AUGUST_5, listed, press, words


@pytest.fixture
def take(owner):
    """A stock-take of everything."""
    return begin_take(by=owner, on=AUGUST_5)


def field(batch):
    """The name of a batch's number."""
    return f"counted_{batch.pk}"


def test_a_stock_take_is_begun_on_its_page(as_owner, box, batch):
    """Of a shelf; the list and the first page name it."""
    press(as_owner, "stock:begin_take", shelf="A1", note="August")

    take = StockTake.objects.get()
    assert (take.shelf, take.shown, take.note) == ("A1", False, "August")
    assert listed(as_owner, "stock:takes") == [take]
    assert "Stock-take of A1, 2024-08-05 is not put into the book yet" in words(as_owner, "today")
    assert listed(as_owner, "stock:takes", state="ended") == []


def test_a_shelf_and_a_line_at_once_are_refused(as_owner, line, box):
    """The sentence stands at the line."""
    answer = press(as_owner, "stock:begin_take", shelf="A1", line=line.pk)

    assert answer.status_code == 422
    assert "not both at once" in answer.context["form"].errors["line"][0]


def test_counting_goes_on_to_the_next_box(as_owner, line, box, batch, take):
    """From the box on A1 to that on B1, then back to the stock-take, which says all is counted."""
    other = BoxFactory(shelf="B1")
    second = batch_of(line, 6, box=other)
    first = press(as_owner, "stock:count_in_take", take.pk, **{field(batch): "17"})
    assert first.url == f"/stock/takes/{take.pk}/count/?box={other.pk}"

    last = press(as_owner, "stock:count_in_take", take.pk, number=2, query=f"?box={other.pk}", **{field(second): "6"})

    assert last.url == take.get_absolute_url()
    assert "All that lies here by the record is counted." in words(as_owner, "stock:take", take.pk)
    assert there(batch) == [(box.code, 20)]


def test_a_number_left_as_shown_takes_no_later_count_back(owner, as_owner, line, box, batch, take):
    """Seventeen stood there when the page was opened; nineteen were counted meanwhile, and only the other batch is new."""
    other = batch_of(line, 5, box=box)
    count_in_take(by=owner, on=AUGUST_5, take=take, box=box, counted={batch: 17})
    name, where = f"initial-{field(batch)}", f"?box={box.pk}"
    page = as_owner.get(f"/stock/takes/{take.pk}/count/{where}").content.decode()
    assert f'<input type="hidden" name="{name}" value="17"' in page
    count_in_take(by=owner, on=AUGUST_5, take=take, box=box, counted={batch: 19})

    press(as_owner, "stock:count_in_take", take.pk, query=where, **{field(batch): "17", name: "17", field(other): "5"})

    assert dict(take.counted.standing().values_list("batch", "counted")) == {batch.pk: 19, other.pk: 5}
    alone = press(as_owner, "stock:count_in_take", take.pk, number=2, query=where, **{field(batch): "17", name: "17"})
    assert alone.context["form"].has_error("__all__", "stale_form")


def test_figures_are_hidden_unless_shown(owner, as_owner, box, batch, take):
    """Twenty is said only where the stock-take shows it."""
    assert "The record says" not in words(as_owner, "stock:count_in_take", take.pk)

    shown = begin_take(by=owner, on=AUGUST_5, shown=True)

    assert "The record says 20." in words(as_owner, "stock:count_in_take", shown.pk)


def test_one_batch_and_what_is_not_boxed_are_counted_alone(as_owner, line, box, batch, take):
    """Named in the address."""
    loose = batch_of(line, 3)
    other = batch_of(line, 5, box=box)
    page = as_owner.get(f"/stock/takes/{take.pk}/count/?box={box.pk}&batch={other.pk}")
    assert [row.batch for row, _field in page.context["form"].sheet] == [other]

    press(as_owner, "stock:count_in_take", take.pk, query="?box=none", **{field(loose): "2"})

    assert take.counted.values_list("box", "batch", "counted").get() == (None, loose.pk, 2)


def test_something_else_in_the_box_is_counted_too(as_owner, line, box, batch, take):
    """A batch and its number, both or neither, and not one that has its own row."""
    other = batch_of(line, 5)
    half = press(as_owner, "stock:count_in_take", take.pk, query=f"?box={box.pk}", other=other.pk)
    assert "Name the batch and how many." in half.content.decode()
    twice = press(as_owner, "stock:count_in_take", take.pk, query=f"?box={box.pk}", other=batch.pk, other_counted="2")
    assert "That batch has a row of its own above." in twice.content.decode()
    assert press(as_owner, "stock:count_in_take", take.pk, query=f"?box={box.pk}").status_code == 422

    press(as_owner, "stock:count_in_take", take.pk, query=f"?box={box.pk}", other=other.pk, other_counted="2")

    assert take.counted.values_list("batch", "counted").get() == (other.pk, 2)


def test_differences_are_looked_at_and_put_into_the_book(as_owner, line, box, batch, take):
    """Three missing with their cost; without a reason refused, with one written off, and undone as one."""
    press(as_owner, "stock:count_in_take", take.pk, **{field(batch): "17"})
    page = words(as_owner, "stock:end_take", take.pk)
    assert "3 missing" in page
    assert f"/costs/worth/?n_{batch.pk}=-3" in page
    assert "Say why 3 of" in press(as_owner, "stock:end_take", take.pk, number=2).content.decode()

    press(as_owner, "stock:end_take", take.pk, number=3, why="mice")

    assert there(batch) == [(box.code, 17)]
    assert "-3 written off" in words(as_owner, "stock:take", take.pk)
    count = TakeEnd.objects.get().counts.get()
    assert "From the stock-take" in words(as_owner, "stock:count", count.pk)
    press(as_owner, "stock:undo_end_take", TakeEnd.objects.get().pk, number=4)
    assert there(batch) == [(box.code, 20)]


def test_a_reason_of_its_own_goes_before_that_for_all(as_owner, line, box, batch, take):
    """Moths here, mice elsewhere."""
    other = batch_of(LineFactory(stems=10, colour="white"), 8, box=box)
    press(as_owner, "stock:count_in_take", take.pk, **{field(batch): "17", field(other): "7"})
    own = take.counted.get(batch=other)

    press(as_owner, "stock:end_take", take.pk, number=2, why="mice", **{f"why_{own.pk}": "moths"})

    assert set(batch.movements.filter(kind="written_off").values_list("reason", flat=True)) == {"mice"}
    assert set(other.movements.filter(kind="written_off").values_list("reason", flat=True)) == {"moths"}


def test_a_hand_sees_bunches_and_no_cost(client_as, hand, box, batch, take):
    """The fragment is not even asked for."""
    client = client_as(hand)
    press(client, "stock:count_in_take", take.pk, **{field(batch): "17"})

    page = words(client, "stock:end_take", take.pk)

    assert "3 missing" in page
    assert "worth" not in page


def test_what_is_no_longer_there_is_said(owner, as_owner, line, box, batch, take):
    """Eight missing, fifteen sold since; ended, the count that put nothing right says so."""
    count_in_take(by=owner, on=AUGUST_5, take=take, box=box, counted={batch: 12})
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=15)
    assert "Only 5 are there now" in words(as_owner, "stock:end_take", take.pk)
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=5)

    end_take(by=owner, on=AUGUST_5, take=take, reasons={take.counted.get().pk: "mice"})

    assert "they were not there any longer" in words(as_owner, "stock:take", take.pk)


def test_what_is_not_boxed_is_listed_among_the_counts(owner, as_owner, line, take):
    """Without a box to lead to."""
    loose = batch_of(line, 3)
    count_in_take(by=owner, on=AUGUST_5, take=take, box=None, counted={loose: 3})
    end_take(by=owner, on=AUGUST_5, take=take, reasons={})

    assert "not yet boxed" in words(as_owner, "stock:counts")
    assert "not yet boxed" in words(as_owner, "stock:count", TakeEnd.objects.get().counts.get().pk)


def test_a_count_and_a_stock_take_are_taken_back(as_owner, box, batch, take):
    """One number, then the whole of it."""
    press(as_owner, "stock:count_in_take", take.pk, **{field(batch): "17"})
    row = take.counted.get()
    assert f"/stock/takes/counted/{row.pk}/undo/" in words(as_owner, "stock:count_in_take", take.pk)

    press(as_owner, "stock:undo_counted", row.pk, number=2)
    press(as_owner, "stock:undo_take", take.pk, number=3)

    assert not take.counted.standing()
    assert listed(as_owner, "stock:takes") == []
    assert words(as_owner, "stock:take", take.pk)


def test_an_empty_ledger_has_nothing_to_count(as_owner, take):
    """No place; the count page says so."""
    assert "The record knows of nothing here." in words(as_owner, "stock:count_in_take", take.pk)


def read(client, take, figures):
    """What stands on the count sheet."""
    answer = client.get(f"/stock/takes/{take.pk}/paper/?figures={figures}")
    assert answer.headers["Content-Type"] == "application/pdf"
    return "\n".join(page.extract_text() for page in PdfReader(BytesIO(answer.content)).pages)


def test_the_count_sheet_goes_by_shelf_with_or_without_figures(as_owner, line, batch, take):
    """Boxes in order of shelf, the unboxed last, empty boxes named; 37 only where figures are asked for."""
    first, empty = BoxFactory(shelf="A0"), BoxFactory(shelf="D1")
    batch_of(line, 37, box=first), batch_of(line, 5, on=date(2024, 8, 2))

    with_figures, without = read(as_owner, take, "yes"), read(as_owner, take, "no")

    assert "37" in with_figures.split() and "37" not in without.split()
    at = [without.index(said) for said in (first.code, batch.contents.get().box.code, "Not yet boxed", empty.code)]
    assert at == sorted(at)


def test_a_page_asks_as_often_however_many_boxes(as_owner, line, box, batch, take, django_assert_max_num_queries):
    """As many statements for five boxes as for one."""
    for shelf in ("B1", "B2", "B3", "B4"):
        batch_of(line, 2, box=BoxFactory(shelf=shelf))

    with django_assert_max_num_queries(14):
        words(as_owner, "stock:take", take.pk)
