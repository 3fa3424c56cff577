"""Stall days and retail sales."""

from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.sales.actions import Sold, count_tin, open_stall_day, record_card_payout, sell
from ledger.sales.models import Sale, TinCount

from ..columns import Day, Key, Money, OneOf, Ref, Whole, Words, YesNo
from ..rows import Kind


def _sold(**given: Any) -> Sold:
    return Sold(**given)


KINDS = (
    Kind(
        "stall_days", "selling", _("market days"), open_stall_day,
        (Key("key"), Day("on"), Words("name"), Ref("way", to="ways")),
    ),
    Kind(
        "sales", "selling", _("retail sales"), sell,
        (
            Key("key"), Day("on"), Ref("way", to="ways"), Ref("stall_day", to="stall_days", required=False),
            Ref("customer", to="customers", required=False), Words("note", required=False),
            OneOf("paid", required=False, words=tuple(Sale.Paid.values), about=_("empty: cash")),
            YesNo("beyond_record", required=False, about=_("sold though the record had fewer")),
        ),
        parts={"lines": "sale_lines"},
    ),
    Kind(
        "sale_lines", "selling", _("what a sale sold: bunches of a line, or stems of a lot fresh"), _sold,
        (
            Ref("sale", to="sales"), Ref("line", to="lines", required=False), Ref("lot", to="lots", required=False),
            Whole("quantity"), Money("price", required=False, about=_("of one; empty: from the price list")),
            Ref("box", to="boxes", required=False, about=_("empty: the oldest batch first")),
        ),
        part_of="sale",
    ),
    Kind(
        "tins", "selling", _("cash in a market day's tin"), count_tin,
        (
            Ref("stall_day", to="stall_days"), OneOf("when", words=tuple(TinCount.When.values)), Money("amount"),
            Words("note", required=False),
        ),
    ),
    Kind(
        "card_payouts", "money", _("what the card company paid out"), record_card_payout,
        (
            Day("on"), Ref("way", to="ways"), Day("first_day"), Day("last_day"), Money("gross"),
            Money("fee", required=False, about=_("kept by the company, entered as a cost")),
        ),
    ),
)
