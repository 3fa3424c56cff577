"""Whether issued papers add up and their numbers run without gaps."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import Exists, F, OuterRef, Sum

from ledger.reckoning.tax import credit_tax, tax_on, tax_within
from ledger.sales.models import Invoice, InvoiceLine, Order, Payment
from ledger.sales.queries.carriage import billed_later, carriage_sent

from .proof_job_papers import job_paper_differences


def paper_differences() -> Iterable[str]:
    """Every issued paper that does not add up, and every gap in the numbers."""
    yield from _numbers()
    yield from _sums()
    yield from _lines()
    yield from _credits()
    yield from _tax()
    yield from _payments()


def _numbers() -> Iterable[str]:
    for place, number in enumerate(Invoice.objects.order_by("number").values_list("number", flat=True), start=1):
        if number != place:
            yield f"invoice {number}: number {place} is missing"
            return


def _sums() -> Iterable[str]:
    nets = dict(InvoiceLine.objects.values_list("invoice").annotate(n=Sum("net")).order_by("invoice"))
    for pk, number, net, tax, gross in Invoice.objects.values_list("pk", "number", "net", "tax", "gross"):
        if net != nets.get(pk, 0):
            yield f"invoice {number}: net {net}, its lines add up to {nets.get(pk, 0)}"
        if gross != net + tax:
            yield f"invoice {number}: {net} and {tax} are not {gross}"


def _lines() -> Iterable[str]:
    plain = InvoiceLine.objects.exclude(invoice__with_tax=True, credits_line__isnull=False)
    for pk, number in plain.exclude(net=F("quantity") * F("price")).values_list("pk", "invoice__number"):
        yield f"invoice {number}, line {pk}: quantity times price is not its net"
    sent = InvoiceLine.objects.filter(dispatch_line__isnull=False, credits_line__isnull=True)
    for pk, number in sent.exclude(quantity=F("dispatch_line__bunches")).values_list("pk", "invoice__number"):
        yield f"invoice {number}, line {pk}: not the number that was sent"
    for pk, number in sent.exclude(price=F("dispatch_line__order_line__price")).values_list("pk", "invoice__number"):
        yield f"invoice {number}, line {pk}: not the price that was agreed"
    yield from _carriage()
    yield from job_paper_differences()


def _carriage() -> Iterable[str]:
    """Carriage is billed with the dispatch it went with, whole, and on the same paper; more of it no further than was said."""
    billed = InvoiceLine.objects.filter(carriage_of__isnull=False, credits_line__isnull=True).order_by("pk")
    for pk, number in billed.filter(net__lt=F("carriage_of__carriage")).values_list("pk", "invoice__number"):
        yield f"invoice {number}, line {pk}: not the carriage that went with the dispatch"
    papers = dict(billed.values_list("carriage_of", "invoice"))
    sent = InvoiceLine.objects.filter(dispatch_line__dispatch__carriage__gt=0, credits_line__isnull=True).order_by("pk")
    for pk, number, invoice, dispatch in sent.values_list("pk", "invoice__number", "invoice", "dispatch_line__dispatch"):
        if papers.get(dispatch) != invoice:
            yield f"invoice {number}, line {pk}: the carriage that went with it is not on the paper"
    for order in Order.objects.filter(dispatches__carriage_lines__in=billed_later()).distinct().order_by("pk"):
        if carriage_sent(order) > order.said.carriage:
            yield f"order {order.pk}: more carriage is billed than was said"


def _credits() -> Iterable[str]:
    lines = InvoiceLine.objects.filter(credits_line__isnull=False).order_by("pk")
    plain = lines.filter(carriage_of=None, invoice__with_tax=False)
    for pk, number in plain.exclude(price=F("credits_line__price")).values_list("pk", "invoice__number"):
        yield f"invoice {number}, line {pk}: not the price that was invoiced"
    for pk, number in lines.exclude(invoice__credits=F("credits_line__invoice")).values_list("pk", "invoice__number"):
        yield f"invoice {number}, line {pk}: of another invoice than the one it credits"
    of_carriage = InvoiceLine.objects.annotate(back=Sum("credited_by__net")).filter(carriage_of__isnull=False, back__gt=F("net"))
    for pk, number, net, back in of_carriage.order_by("pk").values_list("pk", "invoice__number", "net", "back"):
        yield f"invoice {number}, line {pk}: {net} of carriage invoiced, {back} credited"
    of_goods = InvoiceLine.objects.filter(carriage_of=None, invoice__with_tax=False)
    credited = of_goods.annotate(back=Sum("credited_by__quantity")).filter(back__gt=F("quantity"))
    for pk, number, quantity, back in credited.order_by("pk").values_list("pk", "invoice__number", "quantity", "back"):
        yield f"invoice {number}, line {pk}: {quantity} invoiced, {back} credited"


def _tax() -> Iterable[str]:
    invoices = {one.pk: one for one in Invoice.objects.order_by("number")}
    credited: dict[int, tuple[int, int]] = {}
    at_prices = dict(
        InvoiceLine.objects.filter(invoice__with_tax=True, credits_line__isnull=False).order_by("invoice")
        .values_list("invoice").annotate(n=Sum(F("quantity") * F("price")))
    )
    for one in invoices.values():
        if one.credits_id is None:
            due = tax_within(one.gross, one.rate_bp) if one.with_tax else tax_on(one.net, one.rate_bp)
        else:
            before = credited.get(one.credits_id, (0, 0))
            of_prices = at_prices.get(one.pk, 0) - one.net
            due = of_prices if one.with_tax else credit_tax(*before, one.net, one.rate_bp)
            credited[one.credits_id] = (before[0] + one.net, before[1] + one.tax)
        if one.tax != due:
            yield f"invoice {one.number}: tax {one.tax}, the rate makes {due}"


def _payments() -> Iterable[str]:
    paid = Payment.objects.filter(undone_at__isnull=True).values_list("invoice").annotate(n=Sum("amount")).order_by("invoice")
    invoices = {pk: (number, gross) for pk, number, gross in Invoice.objects.values_list("pk", "number", "gross")}
    for pk, amount in paid:
        number, gross = invoices[pk]
        if amount > gross:
            yield f"invoice {number}: {amount} paid of {gross}"
    gave_back = Invoice.objects.filter(pk__in=Payment.objects.standing().filter(amount__lt=0).values("invoice"))
    for number, owed in gave_back.with_owed().filter(owed__gt=0).order_by("number").values_list("number", "owed"):
        yield f"invoice {number}: money was given back though {owed} is owed"
    yield from _deposits_printed()


def _deposits_printed() -> Iterable[str]:
    """What a paper says was paid ahead was used on it that day, whatever became of it since."""
    used = Payment.objects.filter(deposit_of__isnull=False, on=OuterRef("on"), invoice=OuterRef("pk"), amount=OuterRef("deposit"))
    for number in Invoice.objects.filter(deposit__gt=0).exclude(Exists(used)).order_by("number").values_list("number", flat=True):
        yield f"invoice {number}: the deposit printed on it was not used on it"
