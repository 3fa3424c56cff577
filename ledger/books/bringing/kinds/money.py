"""Invoices, credits and payments."""

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import refusal
from ledger.sales.actions import credit, invoice, pay
from ledger.sales.models import Invoice, InvoiceLine, OrderLine

from ..columns import Day, Key, Money, Ref, Whole, Words, YesNo
from ..rows import Kind

Credited = tuple[OrderLine, int]


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
        "invoices", "invoices", _("invoices: all that was sent of an order and not yet billed"), invoice,
        (Key("key"), Ref("order", to="orders"), Day("on")),
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
)
