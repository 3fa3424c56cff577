"""Pages of lines, batches and holds."""

from ledger.stock.actions import draw, hold, move, write_off
from ledger.stock.models import Hold, Line
from tests.factories.drying import VarietyFactory
from tests.factories.stock import LineFactory, batch_of
from tests.stock.browsing import AUGUST_5, listed, press, words


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


def test_a_batch_shows_its_hangings_and_where_it_went(as_owner, owner, box, batch):
    """The run and hanging behind it, the box, what was drawn."""
    draw(by=owner, on=AUGUST_5, batch=batch, box=box, bunches=2, reason="for the window")

    page = words(as_owner, "stock:batch", batch.pk)

    hanging = batch.run.inputs.get().hanging
    for told in (hanging, batch.run, box.code, "for the window", ">18<"):
        assert str(told) in page
    assert listed(as_owner, "stock:batches", left="some") == [batch]


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
