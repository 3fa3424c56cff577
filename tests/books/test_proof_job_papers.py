"""Invoices of jobs broken behind the ledger's back, and what the proof says of them."""

from datetime import date

import pytest
from django.utils import timezone

from ledger.books.queries.proof_papers import paper_differences
from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.sales import actions as sales
from ledger.sales.models import Invoice, InvoiceLine, JobCharge, JobDone
from tests.factories.jobs import HELD, JobFactory, PieceFactory, job_done
from tests.factories.pricing import TradeFactory
from tests.flushing import without_guards

pytestmark = pytest.mark.unproved
BILLED, LATER = date(2024, 9, 20), date(2024, 9, 27)


@pytest.fixture
def papers(owner: User) -> dict[str, Invoice]:
    """One job with tax and one net at 20 %, invoiced 1 and 2; one bouquet of two of each credited, 3 and 4."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="XX 000")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)
    issued = {"with": invoiced(owner, JobFactory()), "net": invoiced(owner, JobFactory(way=TradeFactory()))}
    for one in issued.values():
        sales.credit(by=owner, invoice=one, on=LATER, lines=[(one.lines.order_by("pk").first(), 1)], why="wilted")
    return issued


def invoiced(owner, job):
    """Two bouquets at 45.00 and one at 95.00."""
    for price, quantity in ((4500, 2), (9500, 1)):
        PieceFactory(job=job, price=price, quantity=quantity)
    job_done(job, on=HELD)
    return sales.invoice_job(by=owner, job=job, on=BILLED)


def found(model, change, **which):
    """What the proof says once the first such row was changed."""
    without_guards(model)
    row = model._base_manager.filter(**which).order_by("pk").first()
    assert model._base_manager.filter(pk=row.pk).update(**change) == 1
    return "\n".join(paper_differences())


def test_true_papers_have_no_difference(papers):
    """As issued."""
    assert list(paper_differences()) == []


@pytest.mark.parametrize(("model", "change", "which", "says"), [
    (Invoice, {"tax": 3084, "net": 15416}, {"number": 1}, "invoice 1: tax 3084, the rate makes 3083"),
    (Invoice, {"gross": 18600, "net": 15517}, {"number": 1}, "invoice 1: 18600 with tax, 18500 was charged"),
    (Invoice, {"tax": 749, "gross": 4499}, {"number": 3}, "invoice 3: tax 749, the rate makes 750"),
    (Invoice, {"deposit": 1}, {"number": 1}, "invoice 1: the deposit printed on it was not used on it"),
    (Invoice, {"tax": 1000, "gross": 5500}, {"number": 4}, "invoice 4: tax 1000, the rate makes 900"),
    (InvoiceLine, {"quantity": 3}, {"invoice__number": 2}, "not what was charged"),
    (InvoiceLine, {"price": 4600}, {"invoice__number": 2}, "not what was charged"),
    (InvoiceLine, {"net": 3749}, {"invoice__number": 3}, "net 3749 is not its part of 7500"),
    (InvoiceLine, {"quantity": 3}, {"invoice__number": 3}, "2 charged, 3 credited"),
    (InvoiceLine, {"price": 4400}, {"invoice__number": 3}, "not the price that was charged"),
    (JobCharge, {"price": 9600}, {"price": 9500}, "invoice 1: 18500 with tax, 18600 was charged"),
])
def test_each_break_is_named(papers, model, change, which, says):
    """185.00 hold 30.83, of which 7.50 go back with 37.50; 185.00 net bear 37.00, of which 9.00 go back with 45.00."""
    assert says in found(model, change, **which)


def test_a_charge_on_another_jobs_invoice_is_named(papers):
    """The job of the doing moved to the other's."""
    done = JobDone.objects.get(job=papers["with"].job)
    now = {"undone_at": timezone.now(), "undone_by": done.recorded_by}
    says = found(JobDone, {"job": papers["net"].job, **now}, pk=done.pk)
    assert "not of the job it is said to bill" in says
