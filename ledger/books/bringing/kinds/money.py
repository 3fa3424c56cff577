"""Invoices, credits and payments."""

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import refusal
from ledger.sales.actions import credit, give_money_back, invoice, invoice_job, pay
from ledger.sales.models import Invoice, InvoiceLine, Job, Order, OrderLine

from ..columns import Day, Key, Money, Ref, Whole, Words, YesNo
from ..rows import Kind

Credited = tuple[OrderLine, int]


def _invoice(*, by: User, on: date, order: Order | None = None, job: Job | None = None) -> Invoice:
    if order is not None and job is None:
        return invoice(by=by, order=order, on=on)
    if job is not None and order is None:
        return invoice_job(by=by, job=job, on=on)
    raise refusal("order", _("Name either an order or a job."), code="order_or_job")


def _credited(*, order_line: OrderLine, quantity: int) -> Credited:
    return order_line, quantity


def _credit(
    *, by: User, invoice: Invoice, on: date, why: str, lines: list[Credited] | None = None, carriage: bool = False
) -> Invoice:
    """`carriage`: all the carriage on it too."""
    on_paper = [(_line_on(invoice, order_line), quantity) for order_line, quantity in lines or []]
    on_paper += [(line, 1) for line in invoice.lines.filter(carriage_of__isnull=False)] if carriage else []
    return credit(by=by, invoice=invoice, on=on, lines=on_paper, why=why)


def _line_on(invoice: Invoice, order_line: OrderLine) -> InvoiceLine:
    """The line of the paper that bills what this line of the order was sent."""
    line = invoice.lines.filter(dispatch_line__order_line=order_line).first()
    if line is None:
        raise refusal("order_line", _("That line of the order is not on this invoice."), code="not_invoiced")
    return line


KINDS = (
    Kind(
        "invoices", "invoices", _("invoices: all of an order or a job that is not yet billed"), _invoice,
        (Key("key"), Ref("order", to="orders", required=False), Ref("job", to="jobs", required=False), Day("on")),
    ),
    Kind(
        "credits", "invoices", _("credits on an invoice"), _credit,
        (
            Key("key"), Ref("invoice", to="invoices"), Day("on"), Words("why"),
            YesNo("carriage", required=False, about=_("whether the carriage on it is credited too")),
        ),
        parts={"lines": "credit_lines"},
    ),
    Kind(
        "credit_lines", "invoices", _("what a credit takes back of an order's line"), _credited,
        (Ref("credit", to="credits"), Ref("order_line", to="order_lines"), Whole("quantity")),
        part_of="credit",
    ),
    Kind(
        "payments", "invoices", _("payments received"), pay,
        (Ref("invoice", to="invoices"), Day("on"), Money("amount"), Words("how", required=False)),
    ),
    Kind(
        "payments_back", "invoices", _("payments given back, as too much was paid once a credit was issued"), give_money_back,
        (Ref("invoice", to="invoices"), Day("on"), Money("amount"), Words("how", required=False)),
    ),
)
