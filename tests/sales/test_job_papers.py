"""The quote and the list to take along, as paper."""

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
from ledger.sales import actions
from ledger.sales.models import Job
from ledger.stock.actions import hold_back, move, new_box
from tests.factories.jobs import AGREED, ASKED_ABOUT, HELD, JobFactory, PieceFactory, deposited, kept_for, piece_of
from tests.factories.pricing import TradeFactory
from tests.factories.sales import CustomerFactory, Ready, ready

SignIn = Callable[[User], Client]
TAX_WORDS = ("Tax", "VAT", "addition")


@pytest.fixture
def as_page(monkeypatch: pytest.MonkeyPatch) -> None:
    """Papers as print-ready pages, as where no PDF can be made."""
    monkeypatch.setattr(paper, "pdf_maker", lambda: None)


def quote(client: Client, job: Job, deposit: str = "") -> str:
    """The quote's words."""
    return client.get(reverse("sales:quote", args=[job.pk]), {"deposit": deposit}).content.decode()


def take_along(client: Client, job: Job) -> str:
    """The words of the list to take along."""
    return client.get(reverse("sales:job_list", args=[job.pk])).content.decode()


def registered(owner: User) -> None:
    """A seller who charges 20 %."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="GB 000")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)


def test_an_unregistered_sellers_quote_has_no_word_of_tax(as_page: None, owner: User, client_as: SignIn) -> None:
    """Two bouquets at 45.00 are 90.00; name, note and day are on it."""
    job = PieceFactory(note="Hand-tied").job

    page = quote(client_as(owner), job)

    for word in (f"Quote {job.pk}", job.name, "Hand-tied", "45.00", "90.00", "14 September 2024", str(job.customer)):
        assert word in page
    assert not any(word in page for word in TAX_WORDS)


def test_prices_with_tax_say_the_tax_in_them(as_page: None, owner: User, client_as: SignIn) -> None:
    """A sixth of 90.00 is 15.00."""
    registered(owner)

    page = quote(client_as(owner), PieceFactory().job)

    assert "Tax of 20 % in it" in page and "15.00" in page and "GB 000" in page


def test_net_prices_get_the_tax_on_top(as_page: None, owner: User, client_as: SignIn) -> None:
    """90.00 net, 18.00 tax, 108.00."""
    registered(owner)

    page = quote(client_as(owner), PieceFactory(job=JobFactory(way=TradeFactory())).job)

    assert "Tax at 20 %" in page and "18.00" in page and "108.00" in page


def test_a_flat_rate_farmers_addition_is_not_called_tax(as_page: None, owner: User, client_as: SignIn) -> None:
    """4 % of 90.00 net is 3.60, for a registered buyer only."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="flat_rate", number="FR 1", addition_bp=400)
    job = PieceFactory(job=JobFactory(way=TradeFactory(), customer=CustomerFactory(tax_number="GB 1"))).job

    page = quote(client_as(owner), job)

    assert "Flat-rate addition of 4 %" in page and "3.60" in page and "93.60" in page and "Tax" not in page


def test_hires_good_until_and_the_deposit_asked_for_are_on_it(as_page: None, owner: User, client_as: SignIn) -> None:
    """Three jars at 2.50 with 9.00 for each broken; 40.00 asked, 10.00 received."""
    job = JobFactory(good_until=date(2024, 8, 31))
    jar = actions.add_hire_item(by=owner, name="Jar", charge=250, breakage=900, owned=5, on=ASKED_ABOUT)
    actions.plan_hire(by=owner, job=job, on=AGREED, item=jar, quantity=3, first_day=HELD, last_day=HELD)
    deposited(job, 1000)

    page = quote(client_as(owner), job, "40.00")

    for word in ("Hire of Jar", "7.50", "for each broken or lost 9.00", "Good until 31", "40.00", "received so far: 10.00"):
        assert word in page


def test_a_deposit_that_is_no_amount_leads_back(owner: User, client_as: SignIn) -> None:
    """With a sentence that says what would do."""
    job = JobFactory()
    client = client_as(owner)
    answer = client.get(reverse("sales:quote", args=[job.pk]), {"deposit": "some"}, follow=True)
    assert "Write the deposit as an amount such as 50.00." in answer.content.decode()


def test_a_quote_says_what_is_poisonous_and_never_what_a_part_costs(as_page: None, owner: User, client_as: SignIn) -> None:
    """The species of a line in a piece; the vase's 3.33 stays in the house."""
    job, stock = JobFactory(), ready()
    species = stock.line.variety.species
    change_species(by=owner, species=species, changes={"caution": "Irritates the skin."}, seen={"caution": ""})
    parts = [actions.Part(3, line=stock.line), actions.Part(1, bought="Vase", cost=333)]
    PieceFactory(job=job, parts=parts)

    page = quote(client_as(owner), job)

    assert "Irritates the skin." in page and "3.33" not in page and "Vase" not in page
    assert "Irritates the skin." in take_along(client_as(owner), job)


def boxed_elsewhere(owner: User, stock: Ready, shelf: str, bunches: int) -> None:
    """So many of the batch moved to another box."""
    box = new_box(by=owner, shelf=shelf)
    move(by=owner, on=date(2024, 8, 2), batch=stock.batch, bunches=bunches, source=stock.box, target=box)


def test_kept_bunches_are_listed_in_the_order_of_shelves(as_page: None, owner: User, client_as: SignIn) -> None:
    """Of the first line some lie on the last shelf; what is not kept stands apart, with what is bought in."""
    job, first, second = JobFactory(), ready(3), ready(9)
    boxed_elsewhere(owner, first, "Z9", 3)
    piece_of(job, first, 10, quantity=3)
    piece_of(job, second, 20, quantity=4)
    PieceFactory(job=job, name="Arch", parts=[actions.Part(2, bought="Chicken wire", cost=100)])
    kept_for(job, first, 3)
    kept_for(job, second, 6)

    page = take_along(client_as(owner), job)

    lines = [str(one.line) for one in (second, first)]
    assert page.index(lines[0]) < page.index(lines[1]) and "Z9" in page
    assert "Not kept, still to be found" in page and "2 bunches" in page
    assert "Chicken wire" in page and "Arch" in page


def test_bunches_that_are_on_no_shelf_are_said_to_be(as_page: None, owner: User, client_as: SignIn) -> None:
    """Kept, in a box that is held back."""
    job, stock = JobFactory(), ready(3)
    kept_for(job, stock, 3)
    hold_back(by=owner, on=AGREED, box=stock.box, until=date(2036, 1, 1), why="damp")

    assert "on no shelf" in take_along(client_as(owner), job)


def test_papers_of_a_job_come_as_pdf(owner: User, client_as: SignIn) -> None:
    """Each opens as a PDF whose first page says what it is."""
    if paper.pdf_maker() is None:
        pytest.skip("no Pango")
    job = PieceFactory().job
    for name, says in (("quote", f"Quote {job.pk}"), ("job_list", "To take along")):
        answer = client_as(owner).get(reverse(f"sales:{name}", args=[job.pk]))
        assert answer.headers["Content-Type"] == "application/pdf"
        assert says in PdfReader(BytesIO(answer.content)).pages[0].extract_text()
