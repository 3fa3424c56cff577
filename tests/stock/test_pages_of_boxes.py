"""Pages of boxes and counts."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.stock.actions import sell_bunches
from ledger.stock.models import Box, StockCount
from tests.factories.drying import VarietyFactory
from tests.factories.stock import BoxFactory, LineFactory, batch_of, there
from tests.stock.browsing import listed, press, words


def test_a_box_shows_its_contents_movements_and_caution(as_owner, owner):
    """A poisonous species says so."""
    variety = VarietyFactory(species__name="Larkspur", species__caution="All parts are poisonous.")
    box = BoxFactory(shelf="North wall 2")
    batch = batch_of(LineFactory(variety=variety), 5, box=box)

    page = words(as_owner, "stock:box", box.pk)

    for told in (box.code, "North wall 2", "Larkspur: All parts are poisonous.", str(batch), "Write off", "Put in"):
        assert told in page
    assert "All parts are poisonous." in words(as_owner, "stock:line", batch.line.pk)
    assert "All parts are poisonous." in words(as_owner, "stock:batch", batch.pk)


@pytest.mark.parametrize("verb", ["stock:move", "stock:draw", "stock:write_off"])
def test_each_batch_in_a_box_has_its_verbs(as_owner, client_as, seller, line, box, batch, verb):
    """The link opens a form about that batch in that box alone; who may not move bunches is offered none."""
    batch_of(line, 5, box=box)
    link = f"{reverse(verb)}?box={box.pk}&amp;batch={batch.pk}"

    assert link in words(as_owner, "stock:box", box.pk)
    assert link not in words(client_as(seller), "stock:box", box.pk)
    offered = as_owner.get(link.replace("&amp;", "&")).context["form"].fields["content"]
    assert (list(offered.queryset), offered.empty_label) == ([batch.contents.get()], None)


def test_boxes_are_sifted(as_owner, line, box, batch):
    """By id, shelf, line and whether something is in them."""
    empty, parcel = BoxFactory(shelf="Z9"), BoxFactory(parcel=True)

    assert listed(as_owner, "stock:boxes", state="full") == [box]
    assert listed(as_owner, "stock:boxes", line=line.pk) == [box]
    assert listed(as_owner, "stock:boxes", shelf="z9") == [empty]
    assert listed(as_owner, "stock:boxes", state="parcel") == [parcel]
    assert set(listed(as_owner, "stock:boxes", state="empty")) == {empty, parcel}


def test_a_parcel_names_its_order(as_owner, box):
    """Only its label is offered: what is in it is the order's."""
    parcel = BoxFactory(parcel=True)

    page = words(as_owner, "stock:box", parcel.pk)

    assert "The parcel of an order." in page and "Write off" not in page and "Label" in page


def test_a_box_is_begun_and_changed(as_owner):
    """A stale form is refused with what it now says."""
    press(as_owner, "stock:new_box", shelf="A1", note="")
    box = Box.objects.get()
    change = {"shelf": "B2", "note": "", "seen_shelf": "A1", "seen_note": ""}

    press(as_owner, "stock:change_box", box.pk, number=2, **change)
    stale = press(as_owner, "stock:change_box", box.pk, number=3, **change)

    assert Box.objects.get().shelf == "B2"
    assert stale.status_code == 422 and "somebody changed it" in stale.content.decode()


def test_bunches_are_put_in_and_taken_out_from_the_box_page(as_owner, line, box):
    """Put in from the table, taken out to another box; each goes back to the box."""
    batch, other = batch_of(line, 20), BoxFactory()
    loose = batch.contents.get()
    assert f'value="{box.pk}" selected' in words(as_owner, "stock:move", target=box.pk)

    into = press(
        as_owner, "stock:move", query=f"?target={box.pk}", content=loose.pk, bunches=12, target=box.pk
    )
    out = press(
        as_owner, "stock:move", number=2, query=f"?box={box.pk}", content=batch.contents.get(box=box).pk, bunches=5,
        target=other.pk,
    )

    assert into["Location"] == out["Location"] == box.get_absolute_url()
    assert there(batch) == [(box.code, 7), (other.code, 5), ("", 8)]


def test_a_move_pressed_twice_counts_once(as_owner, box, batch):
    """And goes on to the stock book when it began from nowhere."""
    sent = {"content": batch.contents.get().pk, "bunches": 5, "target": ""}

    first, second = press(as_owner, "stock:move", **sent), press(as_owner, "stock:move", **sent)

    assert first.status_code == second.status_code == 302
    assert second["Location"] == first["Location"]
    assert there(batch) == [(box.code, 15), ("", 5)]


def test_a_box_is_counted_on_its_page(as_owner, line, box, batch):
    """Three missing; two of another batch in it; an empty field was not counted."""
    other, third = batch_of(line, 5), batch_of(line, 5, box=box)
    assert "The record says 20." in words(as_owner, "stock:count_box", box.pk)

    press(as_owner, "stock:count_box", box.pk, **{f"counted_{batch.pk}": 17, "other": other.pk, "other_counted": 2})

    count = StockCount.objects.get()
    assert there(batch, other, third) == [(box.code, 17), (box.code, 2), ("", 5), (box.code, 5)]
    assert ">17<" in words(as_owner, "stock:count", count.pk)
    assert listed(as_owner, "stock:counts", box=box.code.lower()) == [count]
    assert str(count) in words(as_owner, "stock:movement", count.lines.get(batch=batch).movement.pk)
    press(as_owner, "stock:undo_count", count.pk, number=2)
    assert there(batch) == [(box.code, 20)]


@pytest.mark.parametrize("sent", [{}, {"other_counted": 3}])
def test_an_empty_or_half_count_is_refused(as_owner, box, batch, sent):
    """Give at least one number, and say of what."""
    assert press(as_owner, "stock:count_box", box.pk, **sent).status_code == 422
    assert not StockCount.objects.exists()


@pytest.mark.parametrize("typed", ["2223C", "2223c", " 222-3 c "])
def test_a_box_is_found_by_its_id(as_owner, box, typed):
    """In any hand."""
    assert as_owner.get(reverse("stock:find_box"), {"id": typed})["Location"] == box.get_absolute_url()


@pytest.mark.parametrize(
    ("typed", "says"),
    [("2232C", "a character is wrong or two changed places"), ("22", "is no box id"), ("2224A", "No box 2224A")],
)
def test_a_mistyped_id_is_refused_clearly(as_owner, box, typed, says):
    """What is wrong, and what would do; the id is still in the field."""
    answer = as_owner.get(reverse("stock:find_box"), {"id": typed})

    assert answer.status_code == 422
    assert says in answer.content.decode() and typed in answer.content.decode()


def test_a_number_for_a_batch_that_left_meanwhile_is_not_dropped(as_owner, owner, line, box, batch):
    """Sold out while somebody counted: the form says that what there is changed, and counts nothing."""
    sell_bunches(by=owner, on=date(2024, 8, 5), line=line, bunches=20, box=box)
    other = batch_of(line, 5, box=box)
    answer = press(as_owner, "stock:count_box", box.pk, **{f"counted_{batch.pk}": 5, f"counted_{other.pk}": 5})

    assert answer.status_code == 422 and "Open it again" in answer.content.decode()
    assert not StockCount.objects.exists()


def test_a_batch_with_a_row_is_not_named_again(as_owner, box, batch):
    """Its own row says how many there are."""
    sent = {f"counted_{batch.pk}": 5, "other": batch.pk, "other_counted": 7}

    assert "row of its own" in press(as_owner, "stock:count_box", box.pk, **sent).content.decode()
