"""The pages of the books, as owner and bookkeeper meet them."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.books.models import YearClose
from ledger.facts.queries import ledger_state
from ledger.pricing import actions as pricing
from ledger.sales import actions as sales
from tests.filling import fill
from tests.thread import BUNCHED, spin_thread

PAGES = ["earnings", "valuation", "closes", "proof"]


def sell_ten(owner, thread):
    """Ten bunches at 8.00 over the gate."""
    way = pricing.add_way(by=owner, name="Gate", with_tax=True)
    pricing.set_price(by=owner, way=way, line=thread.line, on=BUNCHED, amount=800)
    sold = sales.Sold(line=thread.line, quantity=10)
    return sales.sell(by=owner, on=date(2024, 9, 1), way=way, lines=[sold])


def test_bed_earnings_page_shows_what_a_planting_brought_in(bookkeeper, owner, client_as):
    """Ten bunches at 8.00 brought 80.00; all it cost was 124.00; 17 bunches are unsold."""
    thread = spin_thread(owner)
    sell_ten(owner, thread)
    (row,) = client_as(bookkeeper).get(reverse("books:earnings")).context["rows"]

    assert (row.income, row.cost, row.earned) == (8000, 12400, -4400)
    assert row.unsold == round(12400 * 17 / 27)


def test_valuation_page_shows_both_sides(owner, client_as):
    """At the year's end 17 bunches are left; what came in is what went out and is left."""
    thread = spin_thread(owner)
    sell_ten(owner, thread)
    page = client_as(owner).get(reverse("books:valuation"), {"on": "2024-12-31", "method": "fifo"})

    assert sum(amount for _name, amount in page.context["came_in"]) == sum(amount for _name, amount in page.context["went_out"])
    assert page.context["closing_cost"] == round(12400 * 17 / 27)


def test_valuation_is_paper_too(owner, client_as):
    """The same is given as a paper for the accountant."""
    spin_thread(owner)
    paper = client_as(owner).get(reverse("books:valuation_paper"), {"on": "2024-12-31", "method": "traced"})

    assert paper.status_code == 200
    assert paper["Content-Type"] in {"application/pdf", "text/html; charset=utf-8"}


def test_year_is_closed_and_opened_again_on_pages(owner, client_as):
    """Closing asks for the year's last day, is listed, and can be taken back."""
    spin_thread(owner)
    client = client_as(owner)
    fill(client, reverse("books:close"), on="2024-12-31")
    assert ledger_state().closed_until == date(2024, 12, 31)
    close = YearClose.objects.get()
    assert "2024" in client.get(reverse("books:closes")).content.decode()
    fill(client, reverse("books:reopen", args=[close.pk]))

    assert ledger_state().closed_until is None


def test_refused_close_keeps_the_day(owner, client_as):
    """A day within the year is refused with the day that would do."""
    page = fill(client_as(owner), reverse("books:close"), on="2024-06-30")

    assert page.status_code == 422
    assert "2024-06-30" in page.content.decode()
    assert "A year of this holding ends on" in page.content.decode()


@pytest.mark.unproved
def test_proof_page_names_the_difference(owner, client_as):
    """The page says no differences on a true ledger, and names the row on a broken one."""
    thread = spin_thread(owner)
    client = client_as(owner)
    assert "No differences." in client.get(reverse("books:proof")).content.decode()
    thread.line.balance.__class__.objects.update(on_hand=1)

    assert f"balance of line {thread.line.pk}" in client.get(reverse("books:proof")).content.decode()


@pytest.mark.parametrize("name", PAGES)
def test_hands_and_sellers_see_no_books(hand, seller, client_as, name):
    """No page of the books opens for those who may not see money."""
    for person in (hand, seller):
        assert client_as(person).get(reverse(f"books:{name}")).status_code == 403
