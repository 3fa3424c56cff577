"""What was drawn and never sold: home use and gifts at the selling price of their day, for the accountant."""

import csv
import io
from datetime import date

import pytest
from django.urls import reverse

from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.growing.actions import draw_stems
from ledger.pricing.actions import add_way, set_price
from ledger.sales.queries.drawn import all_drawn, drawn_as_csv, way_for_drawn
from ledger.stock.actions import draw, take_back, undo_movement
from ledger.stock.models import Movement
from ledger.stock.queries.drawing import drawn_for
from tests.factories.growing import LotFactory
from tests.factories.pricing import TradeFactory
from tests.factories.sales import Ready, ready
from tests.stock.browsing import press

FIRST, LAST = date(2024, 9, 1), date(2024, 9, 30)


@pytest.fixture
def gate(owner: User):
    """A farm gate with prices with tax, after a stall and a trade way."""
    add_way(by=owner, name="Market", kind="stall")
    TradeFactory()
    return add_way(by=owner, name="Gate", kind="gate")


def drawn(owner: User, stock: Ready, bunches: int, reason: str, day: int = 7) -> Movement:
    """So many drawn from the box in September."""
    return draw(by=owner, on=date(2024, 9, day), batch=stock.batch, box=stock.box, bunches=bunches, reason=reason)


def test_home_use_and_gifts_are_listed_at_the_price_of_their_day(owner: User, gate) -> None:
    """Two at 6.00 before, one at 7.20 after the list rose: 19.20 with tax; at 20 per cent 2.00 and 1.20 of it are tax."""
    stock = ready(20)
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)
    set_price(by=owner, way=gate, line=stock.line, on=date(2024, 8, 1), amount=600)
    set_price(by=owner, way=gate, line=stock.line, on=date(2024, 9, 10), amount=720)
    drawn(owner, stock, 2, "home use")
    drawn(owner, stock, 1, "gift: to a neighbour", day=12)
    drawn(owner, stock, 3, "display: the hall")
    draw_stems(by=owner, lot=LotFactory(stems=100, on=date(2024, 9, 2)), on=date(2024, 9, 3), stems=7, why="sample")

    found = all_drawn(FIRST, LAST, gate)

    assert [(row.quantity, row.price, row.net, row.tax) for row in found.valued] == [(2, 600, 1000, 200), (1, 720, 600, 120)]
    assert found.totals == (1600, 320, 1920) and found.unpriced == 0
    assert [(row.quantity, row.drawn_for, row.price) for row in found.others] == [(7, "sample", None), (3, "display", None)]


def test_prices_net_of_tax_have_it_on_top(owner: User) -> None:
    """Not registered in July, registered in September: 5.00 net and 1.00 of tax."""
    stock = ready(20)
    way = add_way(by=owner, name="Gate", kind="gate", with_tax=False)
    set_tax_status(by=owner, on=date(2024, 8, 20), status="registered")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)
    set_price(by=owner, way=way, line=stock.line, on=date(2024, 8, 1), amount=500)
    drawn(owner, stock, 1, "gift")
    draw(by=owner, on=date(2024, 8, 10), batch=stock.batch, box=stock.box, bunches=1, reason="gift")
    rows = all_drawn(date(2024, 8, 1), LAST, way).valued
    assert [(row.net, row.tax, row.gross) for row in rows] == [(500, 0, 500), (500, 100, 600)]


def test_what_has_no_price_that_day_is_counted_apart(owner: User, gate) -> None:
    """Never listed, or ended since: in the list, not in the sum; without any way nothing has a price."""
    stock = ready(20)
    set_price(by=owner, way=gate, line=stock.line, on=date(2024, 8, 1), amount=600)
    set_price(by=owner, way=gate, line=stock.line, on=date(2024, 9, 5), amount=None)
    drawn(owner, stock, 1, "gift", day=4)
    drawn(owner, stock, 1, "gift", day=5)
    found = all_drawn(FIRST, LAST, gate)
    assert (found.unpriced, found.totals) == (1, (600, 0, 600))
    assert all_drawn(FIRST, LAST, None).totals == (0, 0, 0)


def test_what_came_back_and_other_days_are_left_out(owner: User, gate) -> None:
    """Two of three came back; an undone draw and one of August are no part of September."""
    stock = ready(20)
    three = drawn(owner, stock, 3, "display")
    take_back(by=owner, on=LAST, movement=three, bunches=2, box=stock.box)
    undo_movement(by=owner, movement=drawn(owner, stock, 5, "gift"))
    draw(by=owner, on=date(2024, 8, 31), batch=stock.batch, box=stock.box, bunches=1, reason="gift")
    assert [(row.quantity, row.drawn_for) for row in all_drawn(FIRST, LAST, gate).rows] == [(1, "display")]


def test_the_gate_is_asked_first_then_a_stall(owner: User, gate) -> None:
    """Whichever was added first; without either, any by retail."""
    assert way_for_drawn() == gate


def test_any_way_by_retail_will_do(owner: User) -> None:
    """None at all is none; parcels by post before nothing; a stall before that."""
    TradeFactory()
    assert way_for_drawn() is None
    post = add_way(by=owner, name="Post", kind="post")
    assert way_for_drawn() == post
    assert way_for_drawn() != add_way(by=owner, name="Market", kind="stall") == way_for_drawn()


@pytest.mark.parametrize(("reason", "word"), [
    ("gift: at midwinter", "gift"), ("Home use", "home use"), ("samples for a wedding", "sample"), ("a wedding", "other"),
    ("", "other"),
])
def test_a_reason_begins_with_what_it_was_for(reason: str, word: str) -> None:
    """Old words count too."""
    assert drawn_for(reason) == word


def test_the_table_for_a_spreadsheet_says_the_same(owner: User, gate) -> None:
    """A row each, and no words read as a formula."""
    stock = ready(20)
    set_price(by=owner, way=gate, line=stock.line, on=date(2024, 8, 1), amount=600)
    drawn(owner, stock, 2, "gift: =1+1")
    drawn(owner, stock, 1, "=2+2")
    rows = list(csv.reader(io.StringIO(drawn_as_csv(all_drawn(FIRST, LAST, gate)).removeprefix("\ufeff"))))
    assert rows[1] == ["2024-09-07", "gift", str(stock.line), "2", "gift: =1+1", "6.00", "12.00", "0.00", "12.00", "GBP"]
    assert rows[2][4:9] == ["'=2+2", "", "", "", ""]


def test_the_page_asks_for_days_and_warns(owner: User, client_as, gate, django_assert_max_num_queries) -> None:
    """From the year's first day; with many rows no more questions; days the wrong way round are said to be so."""
    stock, client, page = ready(20), client_as(owner), reverse("sales:drawn")
    for day in range(1, 12):
        drawn(owner, stock, 1, "gift", day=day)
    days = {"first": "2024-09-01", "last": "2024-09-30", "way": gate.pk}
    assert "accountant decides" in client.get(page).content.decode()
    with django_assert_max_num_queries(26):
        answer = client.get(page, days)
    assert len(answer.context["found"].valued) == 11
    wrong = client.get(page, {**days, "last": "2024-08-01"})
    assert wrong.context["form"].has_error("last", "days_in_order")
    for name in ("drawn_paper", "drawn_csv"):
        assert client.get(reverse(f"sales:{name}"), days).status_code == 200


def test_drawing_says_for_what(owner: User, client_as) -> None:
    """One of a few words, more beside it; something else wants its words."""
    client, stock = client_as(owner), ready(5)
    given = {"content": stock.box.contents.get().pk, "bunches": 1}
    press(client, "stock:draw", query=f"?box={stock.box.pk}", **given, what_for="gift", reason="to a neighbour")
    refusal = press(client, "stock:draw", query=f"?box={stock.box.pk}", number=2, **given, what_for="other")
    assert Movement.objects.get(kind="drawn").reason == "gift: to a neighbour"
    assert refusal.context["form"].has_error("reason", "no_reason")
