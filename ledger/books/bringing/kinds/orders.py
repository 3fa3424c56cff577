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
    ask_more,
    cancel,
    change_order,
    come_later,
    end_standing_order,
    hand_over,
    leave_out,
    pack,
    promise_more,
    report,
    send,
    set_order_terms,
    set_own_price,
    set_pack_rule,
    stand_in,
    take_order,
)
from ledger.sales.models import AskedChange, CustomerPrice, HandedOver, Order, OrderLine, Packing, Parcel, Reported
from ledger.stock.models import Box

from ..columns import Day, Key, Money, Ref, Whole, Words, Year, YesNo
from ..rows import Kind


def _asked(**given: Any) -> Asked:
    return Asked(**given)


def _order_line(order: Order, given: dict[str, Any]) -> OrderLine:
    return order.lines.get(line=given["line"])


def _which(order_line: OrderLine | None, stand_in: OrderLine | None) -> OrderLine:
    """The line meant: one that was asked for, or one that stands in."""
    found = order_line or stand_in
    if found is None:
        raise refusal("order_line", _("Name a line of the order, or what stands in for one."), code="no_line")
    return found


def _pack(
    *, by: User, order_line: OrderLine | None = None, stand_in: OrderLine | None = None, box: Box | None = None, **given: Any
) -> Packing:
    return pack(by=by, order_line=_which(order_line, stand_in), box=box, **given)


def _cancel(
    *, by: User, order_line: OrderLine | None = None, stand_in: OrderLine | None = None, **given: Any
) -> AskedChange:
    return cancel(by=by, order_line=_which(order_line, stand_in), **given)


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
TERMS = (
    Kind(
        "order_terms", "prices", _("least order and carriage of orders by a way, from a day"), set_order_terms,
        (
            Ref("way", to="ways"), Day("on"), Money("least", required=False, about=_("net; empty: no order is too small")),
            Money("carriage", required=False, about=_("net")),
            Money("free_from", required=False, about=_("no carriage from that sum, net; empty: always")),
        ),
    ),
    Kind(
        "pack_rules", "prices", _("in which numbers a line is ordered by a way, from a day"), set_pack_rule,
        (
            Ref("way", to="ways"), Day("on"), Ref("line", to="lines", required=False, about=_("empty: any line")),
            Whole("least", required=False), Whole("multiple", required=False),
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
            Money("carriage", required=False, about=_("net; empty: by the terms of orders")),
            YesNo("all_the_same", required=False, about=_("taken below the least order or off a pack's size")),
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
            Year("season", required=False, about=_("only bunches made in that season")),
        ),
        part_of="order", made=_order_line,
    ),
    Kind(
        "order_changes", "selling", _("when an order is wanted, its reference and carriage, said anew"), change_order,
        (
            Ref("order", to="orders"), Day("on"), Day("wanted_on", required=False), Words("reference", required=False),
            Money("carriage", required=False, about=_("net; empty: as it was")),
        ),
    ),
    Kind(
        "asked_more", "selling", _("more asked for of an order's line"), ask_more,
        (Ref("order_line", to="order_lines"), Day("on"), Whole("bunches")),
    ),
    Kind(
        "stand_ins", "selling", _("another line promised in the place of one that lacks"), stand_in,
        (
            Key("key"), Ref("order_line", to="order_lines"), Day("on"), Ref("line", to="lines"), Whole("bunches"),
            Money("price", required=False, about=_("of one, net; empty: as for what was asked")),
        ),
    ),
    Kind(
        "come_later", "selling", _("what of an order's line is hoped for later"), come_later,
        (Ref("order_line", to="order_lines"), Day("on"), Whole("bunches"), Day("hoped_for", required=False)),
    ),
    Kind(
        "promises", "selling", _("more promised on an order later"), promise_more,
        (Ref("order_line", to="order_lines"), Day("on"), Whole("bunches")),
    ),
    Kind(
        "cancellations", "selling", _("what is asked for no longer"), _cancel,
        (
            Ref("order_line", to="order_lines", required=False), Day("on"), Whole("bunches"),
            Ref("stand_in", to="stand_ins", required=False, about=_("in the place of order_line")),
        ),
    ),
    Kind(
        "packings", "packing", _("bunches packed for an order"), _pack,
        (
            Ref("order_line", to="order_lines", required=False), Day("on"), Ref("batch", to="run_outputs"),
            Ref("box", to="boxes", required=False), Whole("bunches"),
            Ref("stand_in", to="stand_ins", required=False, about=_("in the place of order_line")),
        ),
    ),
    Kind(
        "dispatches", "packing", _("parcels sent: all that is packed of an order"), send,
        (
            Ref("order", to="orders"), Day("on"),
            Money("carriage", required=False, about=_("what of it goes along, net; empty: all that is left")),
        ),
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
