"""Invoice, credit, dispatch note and picking list as paper."""

from collections.abc import Callable
from datetime import date
from io import BytesIO

import pytest
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from ledger.facts import paper
from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.growing.actions import change_species
from ledger.sales.actions import credit
from ledger.sales.models import Invoice
from tests.factories.sales import CustomerFactory, Ready, invoiced, order_of, ready, sent

SignIn = Callable[[User], Client]
LATER = date(2024, 9, 20)
TAX_WORDS = ("Tax", "VAT", "addition")


@pytest.fixture
def as_page(monkeypatch: pytest.MonkeyPatch) -> None:
    """Papers as print-ready pages, as where no PDF can be made."""
    monkeypatch.setattr(paper, "pdf_maker", lambda: None)


def words(client: Client, invoice: Invoice) -> str:
    """The paper's words."""
    return client.get(reverse("sales:invoice_paper", args=[invoice.pk])).content.decode()


def test_an_unregistered_sellers_invoice_has_no_word_of_tax(as_page: None, owner: User, client_as: SignIn) -> None:
    """A plain invoice: what, how many, price, sum."""
    page = words(client_as(owner), invoiced(3, price=342))
    assert "Invoice 1" in page and "10.26" in page
    assert not any(word in page for word in TAX_WORDS)


def test_a_registered_sellers_invoice_is_a_tax_invoice(as_page: None, owner: User, client_as: SignIn) -> None:
    """Number, rate, net, tax and sum are on it, and on its credit."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="GB 000")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)
    invoice = invoiced(3, price=342)
    given = credit(by=owner, invoice=invoice, on=LATER, lines=[(invoice.lines.get(), 1)], why="blown")

    page, credit_page = words(client_as(owner), invoice), words(client_as(owner), given)

    for word in ("Tax invoice 1", "GB 000", "20 %", "10.26", "2.05", "12.31"):
        assert word in page
    for word in ("Tax credit note 2", "To invoice 1", "blown", "3.42", "0.68", "4.10"):
        assert word in credit_page


def test_a_flat_rate_farmers_addition_is_not_called_tax(as_page: None, owner: User, client_as: SignIn) -> None:
    """The addition is shown as such."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="flat_rate", number="FR 1", addition_bp=400)

    page = words(client_as(owner), invoiced(3, price=342, customer=CustomerFactory(tax_number="GB 1")))

    assert "Flat-rate addition of 4 %" in page and "0.41" in page and "10.67" in page
    assert "Tax" not in page and "VAT" not in page


def test_like_lines_of_two_batches_are_one_on_paper(as_page: None, owner: User, client_as: SignIn) -> None:
    """Four and six of one line at one price are printed as ten."""
    invoice = invoiced(10, price=342)
    first = invoice.lines.get()
    assert words(client_as(owner), invoice).count(first.description) == 1


def test_papers_come_as_pdf(owner: User, client_as: SignIn) -> None:
    """Each opens as a PDF whose first page says what it is."""
    if paper.pdf_maker() is None:
        pytest.skip("no Pango")
    invoice, stock = invoiced(3), ready(20)
    order = order_of(stock, 10)
    dispatch = sent(order, stock, 4)
    addresses = {
        "Invoice 1": reverse("sales:invoice_paper", args=[invoice.pk]),
        "Dispatch note": reverse("sales:dispatch_note", args=[dispatch.pk]),
        "Picking list": reverse("sales:picking_list", args=[order.pk]),
    }
    for word, address in addresses.items():
        answer = client_as(owner).get(address)
        assert answer.headers["Content-Type"] == "application/pdf"
        assert word in PdfReader(BytesIO(answer.content)).pages[0].extract_text()


def test_the_dispatch_note_has_no_prices_and_says_what_is_poisonous(as_page: None, owner: User, client_as: SignIn) -> None:
    """What is in the parcel, and the species' caution, on note and picking list alike."""
    stock = _cautioned(ready(20), owner)
    order = order_of(stock, 10, price=9876)
    dispatch = sent(order, stock, 4)

    for name, pk in (("dispatch_note", dispatch.pk), ("picking_list", order.pk)):
        page = client_as(owner).get(reverse(f"sales:{name}", args=[pk])).content.decode()
        assert "Poisonous if eaten" in page and "98.76" not in page


def _cautioned(stock: Ready, owner: User) -> Ready:
    change_species(by=owner, species=stock.line.variety.species, changes={"caution": "Poisonous if eaten"})
    return stock


def test_a_hand_prints_picking_list_and_note(hand: User, bookkeeper: User, owner: User, client_as: SignIn) -> None:
    """Whoever packs prints them; a bookkeeper does not pack."""
    stock = ready(20)
    order = order_of(stock, 10)
    url = reverse("sales:picking_list", args=[order.pk])
    assert client_as(hand).get(url).status_code == 200
    assert client_as(bookkeeper).get(url).status_code == 403
