"""An order written down from the keyboard: each row read, each that cannot be read said why; promised as far as it is free."""

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from ledger.facts.models import User
from ledger.pricing.actions import set_price
from ledger.sales.actions import Asked, take_order
from ledger.sales.forms.written import written
from ledger.sales.models import Order
from ledger.stock.models import Line
from tests.factories.growing import SpeciesFactory, VarietyFactory
from tests.factories.sales import ORDERED, CustomerFactory, line_of, ready
from tests.factories.stock import LineFactory
from tests.filling import fill
from tests.refusals import codes_of


@pytest.fixture
def lines(owner: User) -> list[Line]:
    """Statice deep blue of firsts and of seconds, statice white, larkspur blush."""
    statice, larkspur = SpeciesFactory(name="Statice"), SpeciesFactory(name="Larkspur")
    blue, white = VarietyFactory(species=statice, name="deep blue"), VarietyFactory(species=statice, name="white")
    return [
        LineFactory(variety=blue, colour="", grade="firsts"), LineFactory(variety=blue, colour="", grade="seconds"),
        LineFactory(variety=white, colour="", grade="firsts"),
        LineFactory(variety=VarietyFactory(species=larkspur, name="blush"), colour="", grade="firsts"),
    ]


def test_rows_are_read_by_the_beginnings_of_words(lines: list[Line]) -> None:
    """Firsts are meant where the grade is not said; an empty row is nothing."""
    firsts, seconds, white, blush = lines
    assert written("20 stat deep\n\n 5 x larks\n3 statice blue seconds\n7 white", lines) == {
        firsts: 20, blush: 5, seconds: 3, white: 7,
    }


@pytest.mark.parametrize(
    ("code", "text"),
    [("unreadable", "statice"), ("unreadable", "0 larkspur"), ("unknown", "5 teasel"), ("several", "5 statice"),
     ("twice", "5 larkspur\n4 blush")],
)
def test_a_row_that_cannot_be_read_says_why(code: str, text: str, lines: list[Line]) -> None:
    """No number, no such line, more than one, one twice."""
    with pytest.raises(ValidationError) as told:
        written(text, lines)
    assert codes_of(told.value) == [code]


def test_an_order_written_down_is_taken_as_far_as_it_is_free(owner: User, client_as) -> None:
    """Thirty asked of twenty: twenty promised, ten lacking, at the list's price."""
    stock, client = ready(20), client_as(owner)
    set_price(by=owner, way=stock.way, line=stock.line, on=ORDERED, amount=342)
    page = f"{reverse('sales:take_order')}?way={stock.way.pk}"
    name = str(stock.line).replace(",", "")
    typed = {"customer": CustomerFactory(trade=True).pk, "on": "2024-09-01", "written": f"30 {name}"}

    assert "no line is called so" in fill(client, page, **{**typed, "written": "30 nothing"}).content.decode()
    assert fill(client, page, **typed, what_is_free="on").status_code == 302

    line = line_of(Order.objects.get())
    assert (line.asked, line.kept, line.lacking, line.price) == (30, 20, 10, 342)


def test_what_is_said_to_be_promised_is_left_alone(owner: User) -> None:
    """Five promised of twenty free stay five; nothing free promises nothing."""
    stock = ready(20)
    five, none = Asked(stock.line, 10, 5, 342), Asked(LineFactory(), 4, None, 342)
    order = take_order(
        by=owner, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=[five, none], what_is_free=True
    )
    assert list(order.lines.order_by("pk").values_list("promised", flat=True)) == [5, 0]
