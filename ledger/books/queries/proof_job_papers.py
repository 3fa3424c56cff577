"""Whether invoices and credits of jobs say what was charged for them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from django.db.models import F, Q, QuerySet

from ledger.reckoning.tax import credit_part_of_net
from ledger.sales.models import Invoice, InvoiceLine


def job_paper_differences() -> Iterable[str]:
    """Every line of a job's invoice that is not what was charged, and every credit of one that is not its part."""
    billed = InvoiceLine.objects.filter(invoice__job__isnull=False, credits_line__isnull=True).order_by("pk")
    yield from _as_charged(billed)
    yield from _with_tax(billed.filter(invoice__with_tax=True))
    yield from _credits()


def _as_charged(billed: QuerySet) -> Iterable[str]:
    """A charge, and what was broken of a hire, is billed as it was said, on an invoice of its own job."""
    charged, broken = billed.filter(charge__isnull=False), billed.filter(broken__isnull=False)
    strange = [charged.exclude(charge__done__job=F("invoice__job")), broken.exclude(broken__hire__job=F("invoice__job"))]
    for pk, number in (row for rows in strange for row in rows.values_list("pk", "invoice__number")):
        yield f"invoice {number}, line {pk}: not of the job it is said to bill"
    net = Q(invoice__with_tax=False)
    wrong = [
        charged.filter(net).exclude(quantity=F("charge__quantity"), price=F("charge__price")),
        broken.filter(net).exclude(net=F("broken__charge")),
    ]
    for pk, number in (row for rows in wrong for row in rows.values_list("pk", "invoice__number")):
        yield f"invoice {number}, line {pk}: not what was charged"


def _with_tax(billed: QuerySet) -> Iterable[str]:
    """All lines of a paper with tax hold its sum."""
    charged: dict[int, int] = defaultdict(int)
    rows = billed.values_list("invoice", F("charge__quantity") * F("charge__price"), "broken__charge")
    for invoice, of_charge, of_broken in rows:
        charged[invoice] += (of_charge or 0) + (of_broken or 0)
    for pk, number, gross in Invoice.objects.filter(pk__in=charged).order_by("number").values_list("pk", "number", "gross"):
        if gross != charged[pk]:
            yield f"invoice {number}: {gross} with tax, {charged[pk]} was charged"


def _credits() -> Iterable[str]:
    """A credit of prices with tax takes back so many pieces at their price, and their part of the line's net."""
    rows = InvoiceLine.objects.filter(invoice__with_tax=True, credits_line__isnull=False)
    before: dict[int | None, int] = defaultdict(int)
    for row in rows.select_related("invoice", "credits_line", "charge", "broken").order_by("pk"):
        of, number = row.credits_line, row.invoice.number
        pieces, price = (row.charge.quantity, row.charge.price) if row.charge else (1, row.broken.charge if row.broken else 0)
        if row.price != price:
            yield f"invoice {number}, line {row.pk}: not the price that was charged"
        if of is not None and row.net != credit_part_of_net(of.net, pieces=pieces, before=before[of.pk], now=row.quantity):
            yield f"invoice {number}, line {row.pk}: net {row.net} is not its part of {of.net}"
        before[row.credits_line_id] += row.quantity
        if before[row.credits_line_id] > pieces:
            yield f"invoice {number}, line {row.pk}: {pieces} charged, {before[row.credits_line_id]} credited"
