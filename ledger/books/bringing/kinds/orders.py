"""Customers and trade orders: asked, promised, packed, sent."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import refusal
from ledger.sales.actions import (
    Asked,
    EachTime,
    SaidOf,
    add_customer,
    agree_standing_order,
    cancel,
    end_standing_order,
    hand_over,
    leave_out,
    pack,
    promise_more,
    report,
    send,
    set_own_price,
    take_order,
)
from ledger.sales.models import CustomerPrice, HandedOver, Order, OrderLine, Packing, Parcel, Reported
from ledger.stock.models import Box

from ..columns import Day, Key, Money, Ref, Whole, Words, YesNo
from ..rows import Kind


def _asked(**given: Any) -> Asked:
    return Asked(**given)


def _order_line(order: Order, given: dict[str, Any]) -> OrderLine:
    return order.lines.get(line=given["line"])


def _pack(*, by: User, box: Box | None = None, **given: Any) -> Packing:
    return pack(by=by, box=box, **given)


def _set_own_price(*, by: User, amount: int | None = None, **given: Any) -> CustomerPrice:
    return set_own_price(by=by, amount=amount, **given)


def _report(*, by: User, order: Order, on: date, lines: Sequence[SaidOf], box: Box | None = None) -> Reported:
    """A report of the oldest parcel of an order that a customer has."""
    out = HandedOver.objects.standing().filter(parcel__in=Parcel.objects.out().filter(order=order)).order_by("on", "pk").first()
    if out is None:
        raise refusal("order", _("Nothing of that order is with the customer that day."), code="nothing_out")
    return report(by=by, handed_over=out, on=on, said=lines, box=box)


def _said(**given: Any) -> SaidOf:
    return SaidOf(**given)


CUSTOMERS = (
    Kind(
        "customers", "selling", _("customers"), add_customer,
        (
            Key("key"), Words("name"), YesNo("trade", required=False), Words("contact", required=False),
            Words("email", required=False), Words("address", required=False), Words("tax_number", required=False),
            Whole("days_to_pay", required=False),
        ),
    ),
)
OWN_PRICES = (
    Kind(
        "own_prices", "prices", _("one customer's own price of a line by a way, from a day"), _set_own_price,
        (
            Ref("customer", to="customers"), Ref("way", to="ways"), Ref("line", to="lines"), Day("on"),
            Whole("at_least", required=False, about=_("for so many or more at once; empty: any number")),
            Money("price", gives="amount", required=False, about=_("of one; empty: the price list again")),
        ),
    ),
)
STANDING = (
    Kind(
        "standing_orders", "selling", _("orders that come round"), agree_standing_order,
        (
            Key("key"), Day("on"), Ref("customer", to="customers"), Ref("way", to="ways"), Day("first_on"),
            Whole("every"), Words("unit", about=_("weeks or months")), Words("reference", required=False),
        ),
        parts={"lines": "standing_lines"},
    ),
    Kind(
        "standing_lines", "selling", _("what a standing order wants each time"), EachTime,
        (
            Ref("standing_order", to="standing_orders"), Ref("line", to="lines"), Whole("asked"),
            Money("price", required=False, about=_("of one, net; empty: that day's price")),
        ),
        part_of="standing_order",
    ),
    Kind(
        "standing_ends", "selling", _("standing orders ended"), end_standing_order,
        (Ref("standing_order", to="standing_orders"), Day("on")),
    ),
    Kind(
        "standing_left_out", "selling", _("days of standing orders on which nothing was wanted"), leave_out,
        (Ref("standing_order", to="standing_orders"), Day("on"), Day("wanted_on")),
    ),
)
KINDS = (
    Kind(
        "orders", "selling", _("trade orders"), take_order,
        (
            Key("key"), Day("on"), Ref("customer", to="customers"), Ref("way", to="ways"),
            Day("wanted_on", required=False), Words("reference", required=False, about=_("the customer's own")),
            Ref("standing_order", to="standing_orders", required=False, about=_("what came round; wanted_on is its day")),
            YesNo("sale_or_return", required=False),
        ),
        parts={"lines": "order_lines"},
    ),
    Kind(
        "order_lines", "selling", _("what an order asks for and is promised"), _asked,
        (
            Key("key"), Ref("order", to="orders"), Ref("line", to="lines"), Whole("asked"),
            Whole("promised", required=False, about=_("empty: all that was asked")),
            Money("price", required=False, about=_("of one, net; empty: from the price list")),
        ),
        part_of="order", made=_order_line,
    ),
    Kind(
        "promises", "selling", _("more promised on an order later"), promise_more,
        (Ref("order_line", to="order_lines"), Day("on"), Whole("bunches")),
    ),
    Kind(
        "cancellations", "selling", _("what an order gave back"), cancel,
        (Ref("order_line", to="order_lines"), Day("on"), Whole("bunches")),
    ),
    Kind(
        "packings", "packing", _("bunches packed for an order"), _pack,
        (
            Ref("order_line", to="order_lines"), Day("on"), Ref("batch", to="run_outputs"),
            Ref("box", to="boxes", required=False), Whole("bunches"),
        ),
    ),
    Kind(
        "dispatches", "packing", _("parcels sent: all that is packed of an order"), send,
        (Ref("order", to="orders"), Day("on")),
    ),
    Kind(
        "handed_over", "packing", _("parcels of orders on sale or return that a customer was given"), hand_over,
        (Ref("order", to="orders"), Day("on")),
    ),
    Kind(
        "reports", "packing", _("what a customer reports of goods on sale or return"), _report,
        (
            Key("key"), Ref("order", to="orders"), Day("on"),
            Ref("box", to="boxes", required=False, about=_("where what came back is; empty: not boxed")),
        ),
        parts={"lines": "report_lines"},
    ),
    Kind(
        "report_lines", "packing", _("of a batch of a line: sold and brought back"), _said,
        (
            Ref("report", to="reports"), Ref("order_line", to="order_lines"), Ref("batch", to="run_outputs"),
            Whole("sold", required=False), Whole("back", required=False),
        ),
        part_of="report",
    ),
)
