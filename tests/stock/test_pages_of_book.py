"""Pages of the stock book."""

import pytest
from django.urls import reverse

from ledger.sales.actions import Sold, sell
from ledger.stock.actions import hold, move, sell_bunches
from ledger.stock.models import Movement
from tests.factories.pricing import StallFactory
from tests.factories.stock import BoxFactory, there
from tests.stock.browsing import AUGUST_5, listed, press, words


def test_a_row_names_the_sale_it_was_written_for(as_owner, owner, line, batch):
    """Where it went is one step away."""
    sale = sell(by=owner, on=AUGUST_5, way=StallFactory(), lines=[Sold(line=line, quantity=2, price=500)])

    assert sale.get_absolute_url() in words(as_owner, "stock:movement", Movement.objects.get(kind="sold").pk)


@pytest.mark.parametrize(("name", "kind"), [("draw", "drawn"), ("write_off", "written_off")])
def test_bunches_leave_unsold_and_come_again_by_undoing(as_owner, box, batch, name, kind):
    """From the batch's page, with the reason; undone on the row's page."""
    answer = press(
        as_owner, f"stock:{name}", query=f"?batch={batch.pk}", content=batch.contents.get().pk, bunches=3, reason="moths",
        what_for="display",
    )
    row = Movement.objects.get(kind=kind)

    assert answer["Location"] == batch.get_absolute_url()
    assert "moths" in words(as_owner, "stock:movement", row.pk)
    press(as_owner, "stock:undo_movement", row.pk, number=2)
    assert there(batch) == [(box.code, 20)]


@pytest.mark.parametrize(("promised", "says"), [
    (0, "Recorded."), (18, "Recorded. 1 of them was promised: "), (20, "Recorded. 3 of them were promised: "),
])
def test_it_is_said_what_was_promised_of_what_left(as_owner, owner, line, box, batch, promised, says):
    """Three of twenty are written off; the list of short promises of the line is one press away."""
    if promised:
        hold(by=owner, on=AUGUST_5, line=line, bunches=promised, for_what="a wedding")

    press(as_owner, "stock:write_off", query=f"?box={box.pk}", content=batch.contents.get().pk, bunches=3, reason="moths")

    [said] = as_owner.get(box.get_absolute_url()).context["messages"]
    assert str(said).split("<")[0] == says
    if promised:
        url = f"/stock/holds/?state=short&line={line.pk}"
        assert url in str(said)
        assert [one.short for one in listed(as_owner, "stock:holds", state="short", line=line.pk)] == [3 + promised - 20]


def test_more_than_is_there_is_refused_and_kept(as_owner, box, batch):
    """Said on the number."""
    answer = press(
        as_owner, "stock:draw", query=f"?box={box.pk}", content=batch.contents.get().pk, bunches=21, what_for="display"
    )

    assert answer.status_code == 422
    assert answer.context["form"].errors["bunches"] == ["Only 20 are there."]
    assert 'value="21"' in answer.content.decode()


def test_the_stock_book_is_sifted(as_owner, owner, line, box, batch):
    """By what happened, box, batch, day and what is to be checked; both rows of a move know one another."""
    out, into = move(by=owner, on=AUGUST_5, batch=batch, bunches=5, source=box, target=None)
    sell_bunches(by=owner, on=AUGUST_5, line=line, bunches=21, beyond_record=True)

    assert [row.kind for row in listed(as_owner, "stock:movements", to_check="yes")] == ["found"]
    assert set(listed(as_owner, "stock:movements", kind="moved", batch=batch.pk)) == {out, into}
    assert [row.kind for row in listed(as_owner, "stock:movements", until="2024-08-01", box=box.code)] == ["made"]
    assert into.get_absolute_url() in words(as_owner, "stock:movement", out.pk)
    assert "Sold beyond the record" in words(as_owner, "stock:movement", Movement.objects.get(kind="found").pk)


@pytest.mark.parametrize("name", ["make_run", "new_box", "move", "draw", "write_off", "add_line"])
def test_a_seller_sees_stock_and_moves_none(seller, client_as, box, batch, name):
    """The pages open, the verbs do not and are not offered."""
    client = client_as(seller)

    assert "Write off" not in words(client, "stock:box", box.pk)
    assert client.get(reverse(f"stock:{name}")).status_code == 403


def test_what_was_drawn_comes_back_in_parts(as_owner, client_as, hand, line, box, batch):
    """Five for a display, three of them back in another box, then the rest not boxed; a hand does it, no more than are out."""
    press(
        as_owner, "stock:draw", query=f"?box={box.pk}", content=batch.contents.get().pk, bunches=5, what_for="display", number=1
    )
    drawn, other, at = Movement.objects.get(kind="drawn"), BoxFactory(), client_as(hand)
    page = reverse("stock:take_back", args=[drawn.pk])
    assert page in words(at, "stock:movement", drawn.pk)
    assert at.get(page).context["form"]["bunches"].value() == 5

    press(at, "stock:take_back", drawn.pk, number=2, bunches=3, box=other.pk)
    refused = press(at, "stock:take_back", drawn.pk, number=3, bunches=3)
    press(at, "stock:take_back", drawn.pk, number=4, bunches=2)

    assert (refused.status_code, list(refused.context["form"].errors)) == (422, ["bunches"])
    assert sorted(there(batch)) == sorted([("", 2), (box.code, 15), (other.code, 3)])
    assert page not in words(at, "stock:movement", drawn.pk)


def test_only_what_was_drawn_is_brought_back_by_its_row(as_owner, owner, line, batch):
    """A sale's bunches come back with their sale."""
    sell(by=owner, on=AUGUST_5, way=StallFactory(), lines=[Sold(line=line, quantity=2, price=500)])

    assert as_owner.get(reverse("stock:take_back", args=[Movement.objects.get(kind="sold").pk])).status_code == 404
