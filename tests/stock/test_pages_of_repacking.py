"""The box's page and what can be done from it, shelves and colours."""

import pytest
from django.urls import reverse

from ledger.sales.models import Sale
from ledger.stock.actions import begin_take, hold_back
from ledger.stock.models import Box, Movement, Repacking
from tests.factories.pricing import StallFactory
from tests.factories.stock import BoxFactory, LineFactory, batch_of, there
from tests.stock.browsing import AUGUST_5, press, words

ROWS = ("Take out", "Move", "Sell", "Draw", "Write off", "Count")
WHOLE = ("Put in", "Hold it back", "Split it", "Put it together with another", "Empty it", "Count it")


def links(client, box):
    """What can be done on a box's page: its own links, and those of each row."""
    context = client.get(box.get_absolute_url()).context
    rows = [{str(link.label): link.url for link in content.links} for content in context["contents"]]
    return {str(link.label): link.url for link in context["links"]}, rows


def test_everything_can_be_done_from_the_box(as_owner, box, batch):
    """Each row and the box itself."""
    own, [row] = links(as_owner, box)

    assert tuple(row) == ROWS
    assert set(WHOLE) <= set(own)


def test_a_hand_sells_nothing_and_a_seller_moves_nothing(client_as, hand, seller, box, batch):
    """Each sees what is open to them."""
    assert "Sell" not in links(client_as(hand), box)[1][0]
    assert list(links(client_as(seller), box)[1][0]) == ["Sell"]


def test_nothing_is_sold_from_a_box_held_back(owner, as_owner, box, batch):
    """The link is not there."""
    hold_back(by=owner, on=AUGUST_5, box=box, until=AUGUST_5.replace(year=2099), why="damp")

    own, [row] = links(as_owner, box)

    assert "Sell" not in row and "Sell from here" not in own
    assert "Let it go" in own


def test_sold_from_here_is_taken_from_this_box(owner, as_owner, line, box, batch):
    """An older batch lies elsewhere; the line is filled in already."""
    StallFactory()
    batch_of(line, 5, box=BoxFactory(shelf="A0"))
    _own, [row] = links(as_owner, box)
    form = as_owner.get(row["Sell"]).context["form"]
    assert [str(form[f"n_{one.pk}"].value()) for one, _there in form.lines] == ["1"]

    sent = {"form_key": "a" * 20, "on": "2024-08-05", "paid": "cash", f"n_{line.pk}": "2", f"price_{line.pk}": "3.00"}
    answer = as_owner.post(row["Sell"], {**sent, "why": "", "as_shown": ""})

    assert answer.status_code == 302, answer.context["form"].errors
    assert Sale.objects.get().takings.values_list("movement__box", "movement__bunches").get() == (box.pk, -2)


def test_taken_out_is_not_yet_boxed(as_owner, box, batch):
    """No box is asked for; moved, one must be named."""
    _own, [row] = links(as_owner, box)
    content = batch.contents.get()
    out = as_owner.get(row["Take out"])
    assert "Take out of the box" in out.content.decode()
    assert "Into the box" not in out.content.decode()
    sent = {"form_key": "a" * 20, "on": "2024-08-05", "content": content.pk, "bunches": "3"}

    as_owner.post(row["Take out"], sent)
    unnamed = as_owner.post(row["Move"], {**sent, "form_key": "b" * 20})

    assert there(batch) == [(box.code, 17), ("", 3)]
    assert list(unnamed.context["form"].errors) == ["target"]


def test_one_batch_is_counted_alone(as_owner, line, box, batch):
    """The other has no row."""
    other = batch_of(line, 4, box=box)
    _own, rows = links(as_owner, box)

    form = as_owner.get(rows[1]["Count"]).context["form"]

    assert [content.batch for content in form.contents] == [other]


def test_a_box_is_split_put_together_and_emptied_on_its_pages(as_owner, line, box, batch):
    """Six into a new box on B2, all back together, then emptied; each is undone from the page."""
    press(as_owner, "stock:split_box", box.pk, shelf="B2", **{f"n_{batch.pk}": "6"})
    new = Box.objects.exclude(pk=box.pk).get()
    assert (new.shelf, there(batch)) == ("B2", [(box.code, 14), (new.code, 6)])
    press(as_owner, "stock:put_together", new.pk, number=2, target=box.pk)
    assert "It is empty and can be used again." in words(as_owner, "stock:box", new.pk)
    press(as_owner, "stock:empty_box", box.pk, number=3)
    assert there(batch) == [("", 20)]

    page = words(as_owner, "stock:box", box.pk)
    last = Repacking.objects.latest("pk")
    assert "What it held, and when" in page
    assert f"/stock/repackings/{last.pk}/undo/" in page
    press(as_owner, "stock:undo_repacking", last.pk, number=4)

    assert there(batch) == [(box.code, 20)]


def test_more_than_is_in_it_or_nothing_is_not_split_off(as_owner, box, batch):
    """The sentence says how many there are."""
    assert "Only 20 are there." in press(as_owner, "stock:split_box", box.pk, **{f"n_{batch.pk}": "21"}).content.decode()
    assert "Say how many bunches" in press(as_owner, "stock:split_box", box.pk, number=2).content.decode()
    assert Box.objects.count() == 1


def test_a_row_of_a_step_leads_to_its_box_and_has_no_undo(as_owner, box, batch):
    """The whole step is undone instead."""
    press(as_owner, "stock:empty_box", box.pk)

    answer = as_owner.get(Movement.objects.filter(kind="moved").first().get_absolute_url())

    assert answer.context["links"] == []
    assert answer.context["taken_by"] == Repacking.objects.get()


def test_a_box_is_counted_for_the_stock_takes_under_way(owner, as_owner, line, box, batch):
    """Of its shelf, of a line in it and of everything; not of another shelf or line."""
    BoxFactory(shelf="B1")
    takes = [begin_take(by=owner, on=AUGUST_5, shelf="A1"), begin_take(by=owner, on=AUGUST_5, line=line)]
    takes.append(begin_take(by=owner, on=AUGUST_5))
    begin_take(by=owner, on=AUGUST_5, shelf="B1")
    begin_take(by=owner, on=AUGUST_5, line=LineFactory(stems=10, colour="white"))

    own, _rows = links(as_owner, box)

    assert [label for label in own if label.startswith("Count it for")] == [f"Count it for: {take}" for take in takes]


def test_a_parcel_has_its_label_alone(as_owner, line):
    """What is packed for an order is unpacked there."""
    own, rows = links(as_owner, BoxFactory(parcel=True))

    assert (list(own), rows) == (["Label"], [])


def test_shelves_and_colours_have_pages(as_owner, line, box, batch):
    """Twenty on A1; twenty of the line's colour, and where they lie."""
    page = words(as_owner, "stock:shelves")
    assert "Say how much a shelf holds" in page
    assert ">20<" in page
    family = as_owner.get("/stock/colours/").context["families"][0]
    assert family.bunches == 20

    found = words(as_owner, "stock:colours", family=family.name)

    assert box.code in found
    assert "Nothing of that family is on hand." in words(as_owner, "stock:colours", family="puce")


@pytest.mark.parametrize("page", ["stock:shelves", "stock:colours"])
def test_an_empty_store_has_no_rows(as_owner, page):
    """It says so."""
    assert "tbody" not in words(as_owner, page)


def test_the_box_asks_as_often_however_much_is_in_it(as_owner, line, box, batch, django_assert_max_num_queries):
    """Five batches as one."""
    for made in (1, 2, 3, 4):
        batch_of(line, made, box=box)

    with django_assert_max_num_queries(24):
        words(as_owner, "stock:box", box.pk)


def test_after_a_split_the_other_box_is_named(owner, as_owner, box, batch):
    """Said at once with its label, and kept in the box's history."""
    answer = press(as_owner, "stock:split_box", box.pk, **{f"n_{batch.pk}": 4, "shelf": "B7"})
    other = Box.objects.get(shelf="B7")
    page = as_owner.get(answer["Location"])

    [said] = page.context["messages"]
    assert other.get_absolute_url() in str(said) and other.code in str(said)
    assert f"/stock/boxes/{other.pk}/label/" in str(said)
    assert f'into <a href="{other.get_absolute_url()}">{other.code}</a>' in page.content.decode()


def test_what_is_put_in_is_looked_for_in_order(owner, as_owner, line, box, batch):
    """The unboxed first, then shelf by shelf, without what is in it; then said where it is now."""
    far, near = BoxFactory(shelf="C1"), BoxFactory(shelf="A1")
    for other in (far, near, None):
        batch_of(line, 5, box=other)
    form = as_owner.get(reverse("stock:move"), {"target": box.pk}).context["form"]
    assert [content.box for content in form.fields["content"].queryset] == [None, near, far]

    content = form.fields["content"].queryset[0]
    answer = press(as_owner, "stock:move", query=f"?target={box.pk}", content=content.pk, bunches=2, target=box.pk)

    assert answer["Location"] == box.get_absolute_url()
    assert [str(one) for one in as_owner.get(box.get_absolute_url()).context["messages"]] == [f"2 × {line}: now in {box.code}."]
