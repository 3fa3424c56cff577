"""The pages of stock."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.facts.queries import today
from ledger.sales.actions import Sold, sell
from ledger.stock.actions import draw, hold, move, sell_bunches, write_off
from ledger.stock.models import Box, Hold, Line, Movement, Run, StockCount
from ledger.stock.today import notes
from ledger.stock.views.ahead import ahead
from tests.factories.drying import VarietyFactory
from tests.factories.pricing import StallFactory
from tests.factories.stock import BoxFactory, LineFactory, batch_of, run_of, sound_hanging, there

AUGUST_5 = date(2024, 8, 5)


@pytest.fixture
def as_owner(owner, client_as):
    """The owner's browser."""
    return client_as(owner)


@pytest.fixture
def line(owner):
    """A line of ten stems to the bunch."""
    return LineFactory(stems=10)


@pytest.fixture
def box(owner):
    """A box on a shelf."""
    return BoxFactory()


@pytest.fixture
def batch(line, box):
    """Twenty bunches of 1 August in the box."""
    return batch_of(line, 20, box=box)


def words(client, page, *args, **query):
    """What a page says."""
    answer = client.get(reverse(page, args=args), query)
    assert answer.status_code == 200
    return answer.content.decode()


def listed(client, page, **query):
    """The records a list shows."""
    return [row.record for row in client.get(reverse(page), query).context["table"].rows]


def press(client, page, *args, number=1, query="", **sent):
    """Send a verb's form."""
    url = reverse(page, args=args) + query
    return client.post(url, {"form_key": f"00000000-0000-0000-0000-{number:012d}", "on": "2024-08-05", **sent})


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


def test_a_line_shows_where_it_all_is(as_owner, owner, line, box, batch):
    """On hand, kept, free; its boxes and what is not yet boxed; who was promised."""
    move(by=owner, on=AUGUST_5, batch=batch, bunches=4, source=box, target=None)
    hold(by=owner, on=AUGUST_5, line=line, bunches=8, for_what="Florist by the pond")

    page = words(as_owner, "stock:line", line.pk)

    for told in (">20<", ">8<", ">12<", box.code, "not yet boxed", "Florist by the pond"):
        assert told in page


def test_lines_are_sifted_by_what_is_free(as_owner, owner, line, batch):
    """All promised: on hand, none free."""
    hold(by=owner, on=AUGUST_5, line=line, bunches=20, for_what="florist")
    LineFactory()

    assert listed(as_owner, "stock:lines", state="there") == [line]
    assert listed(as_owner, "stock:lines", state="free") == []
    assert listed(as_owner, "stock:lines", variety=line.variety.pk, sort="-free") == [line]


def test_a_line_is_added(as_owner, owner):
    """And refused the second time, with what was typed."""
    given = {"variety": VarietyFactory().pk, "grade": "firsts", "finish": "natural", "unit": "bunch", "stems": 10}

    assert press(as_owner, "stock:add_line", **given)["Location"] == Line.objects.get().get_absolute_url()
    again = press(as_owner, "stock:add_line", number=2, **given)

    assert again.status_code == 422 and "already there" in again.content.decode()


def test_a_run_is_recorded_from_the_hanging_in_the_address(as_owner, line, box):
    """All its loose stems are offered; firsts go into a box; the value is kept in minor units."""
    hanging = sound_hanging(100)
    line = LineFactory(variety=hanging.parting.lot.planting.variety, stems=10)
    page = words(as_owner, "stock:make_run", hanging=hanging.pk)
    assert 'value="100"' in page and "100 sound and loose" in page

    answer = press(
        as_owner, "stock:make_run", query=f"?hanging={hanging.pk}", lost=10, note="dry day",
        **{f"from_{hanging.pk}": 100, "line_1": line.pk, "made_1": 9, "box_1": box.pk, "value_1": "3.50"},
    )

    run = Run.objects.get()
    assert answer["Location"] == run.get_absolute_url()
    batch = run.batches.get()
    assert (batch.made, batch.unit_value, there(batch)) == (9, 350, [(box.code, 9)])
    for told in (hanging, batch.line, "dry day"):
        assert str(told) in words(as_owner, "stock:run", run.pk)
    assert listed(as_owner, "stock:runs", since="2024-08-01") == [run]


def test_a_run_that_does_not_add_up_keeps_what_was_typed(as_owner):
    """It says what went in, what came out, and the difference."""
    hanging = sound_hanging(100)
    line = LineFactory(variety=hanging.parting.lot.planting.variety, stems=10)

    answer = press(as_owner, "stock:make_run", **{f"from_{hanging.pk}": 100, "line_1": line.pk, "made_1": 9})

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "100 stems went in, but 90 were bunched and 0 lost: +10." in page
    assert 'value="9"' in page and 'value="100"' in page


def test_a_half_filled_line_of_a_run_is_refused(as_owner):
    """A line without a number, a number without a line."""
    hanging = sound_hanging(100)

    answer = press(as_owner, "stock:make_run", **{f"from_{hanging.pk}": 100, "made_2": 9})

    assert answer.context["form"].errors["made_2"]


def test_a_hand_enters_no_values(hand, client_as):
    """Values are money."""
    sound_hanging(100)

    assert "value_1" not in words(client_as(hand), "stock:make_run")


def test_a_run_is_undone_on_its_page(as_owner, line):
    """Its page says so."""
    run = run_of(line, 10)

    press(as_owner, "stock:undo_run", run.pk)

    assert "counts nowhere" in words(as_owner, "stock:run", run.pk)


def test_a_batch_shows_its_hangings_and_where_it_went(as_owner, owner, box, batch):
    """The run and hanging behind it, the box, what was drawn."""
    draw(by=owner, on=AUGUST_5, batch=batch, box=box, bunches=2, reason="for the window")

    page = words(as_owner, "stock:batch", batch.pk)

    hanging = batch.run.inputs.get().hanging
    for told in (hanging, batch.run, box.code, "for the window", ">18<"):
        assert str(told) in page
    assert listed(as_owner, "stock:batches", left="some") == [batch]


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


def test_boxes_are_sifted(as_owner, line, box, batch):
    """By id, shelf, line and whether something is in them."""
    empty, parcel = BoxFactory(shelf="Z9"), BoxFactory(parcel=True)

    assert listed(as_owner, "stock:boxes", state="full") == [box]
    assert listed(as_owner, "stock:boxes", line=line.pk) == [box]
    assert listed(as_owner, "stock:boxes", shelf="z9") == [empty]
    assert listed(as_owner, "stock:boxes", state="parcel") == [parcel]
    assert set(listed(as_owner, "stock:boxes", state="empty")) == {empty, parcel}


def test_a_row_names_the_sale_it_was_written_for(as_owner, owner, line, batch):
    """Where it went is one step away."""
    sale = sell(by=owner, on=AUGUST_5, way=StallFactory(), lines=[Sold(line=line, quantity=2, price=500)])

    assert sale.get_absolute_url() in words(as_owner, "stock:movement", Movement.objects.get(kind="sold").pk)


def test_a_parcel_names_its_order(as_owner, box):
    """Only its label is offered: what is in it is the order's."""
    parcel = BoxFactory(parcel=True)

    page = words(as_owner, "stock:box", parcel.pk)

    assert "The parcel of an order." in page and "Write off" not in page and "Label" in page


def test_what_belongs_to_a_later_stage_is_offered_where_it_is(as_owner, line):
    """A name that is not there gives no link."""
    assert ahead("Nowhere", "sales:no_such_page") == []
    assert reverse("pricing:cost_sheet", args=[line.pk]) in words(as_owner, "stock:line", line.pk)


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
    assert second["Location"] == reverse("stock:movements")
    assert there(batch) == [(box.code, 15), ("", 5)]


@pytest.mark.parametrize(("name", "kind"), [("draw", "drawn"), ("write_off", "written_off")])
def test_bunches_leave_unsold_and_come_again_by_undoing(as_owner, box, batch, name, kind):
    """From the batch's page, with the reason; undone on the row's page."""
    answer = press(
        as_owner, f"stock:{name}", query=f"?batch={batch.pk}", content=batch.contents.get().pk, bunches=3, reason="moths"
    )
    row = Movement.objects.get(kind=kind)

    assert answer["Location"] == batch.get_absolute_url()
    assert "moths" in words(as_owner, "stock:movement", row.pk)
    press(as_owner, "stock:undo_movement", row.pk, number=2)
    assert there(batch) == [(box.code, 20)]


def test_more_than_is_there_is_refused_and_kept(as_owner, box, batch):
    """Said on the number."""
    answer = press(
        as_owner, "stock:draw", query=f"?box={box.pk}", content=batch.contents.get().pk, bunches=21, reason="window"
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


def test_promises_are_kept_changed_and_given_back(as_owner, owner, line, batch):
    """From the line's page; short ones are filled again."""
    press(as_owner, "stock:keep", line=line.pk, bunches=15, for_what="Wedding in the barn")
    kept = Hold.objects.get()
    press(as_owner, "stock:hold_more", kept.pk, number=2, bunches=3)
    press(as_owner, "stock:release", kept.pk, number=3, bunches=8)
    write_off(by=owner, on=AUGUST_5, batch=batch, box=batch.contents.get().box, bunches=15, reason="mice")
    assert listed(as_owner, "stock:holds", state="short") == [kept]
    batch_of(line, 9, on=AUGUST_5)
    press(as_owner, "stock:fill_again", kept.pk, number=4, bunches=5)

    assert Hold.objects.with_kept().get().kept == 10
    page = words(as_owner, "stock:hold", kept.pk)
    for told in ("Wedding in the barn", "left short", "filled again", "given back", "promised"):
        assert told in page
    assert listed(as_owner, "stock:holds", state="keeps", line=line.pk) == [kept]


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


@pytest.mark.parametrize("name", ["make_run", "new_box", "move", "draw", "write_off", "add_line"])
def test_a_seller_sees_stock_and_moves_none(seller, client_as, box, batch, name):
    """The pages open, the verbs do not and are not offered."""
    client = client_as(seller)

    assert "Write off" not in words(client, "stock:box", box.pk)
    assert client.get(reverse(f"stock:{name}")).status_code == 403


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
