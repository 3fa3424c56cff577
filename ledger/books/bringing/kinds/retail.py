"""Stall days and retail sales."""

from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.drying.models import Place
from ledger.facts.models import User
from ledger.sales.actions import (
    BackBox,
    BackBunches,
    BackStems,
    Sold,
    bring_back,
    count_tin,
    load_boxes,
    open_stall_day,
    record_card_payout,
    sell,
    sell_as_seconds,
)
from ledger.sales.models import Sale, StallBack, StallDay, StallLoad, TinCount
from ledger.stock.models import Batch, Box

from ..columns import Day, Key, Money, OneOf, Ref, Whole, Words, YesNo
from ..rows import Kind


def _sold(*, why: str = "", **given: Any) -> Sold:
    return Sold(why=why or str(_("as it was brought in")), **given)


def _load(*, by: User, stall_day: StallDay, box: Box) -> StallLoad:
    return load_boxes(by=by, stall_day=stall_day, boxes=[box])[0]


def _came_back(*, box: Box, batch: Batch, came_back: int, thrown: int = 0, shelf: str | None = None) -> BackBox:
    return BackBox(box, [BackBunches(batch, came_back, thrown)], shelf)


def _stems(**given: Any) -> BackStems:
    return BackStems(**given)


def _back(
    *, by: User, on: date, stall_day: StallDay, boxes: list[BackBox], stems: list[BackStems], place: Place | None = None,
    why: str = "",
) -> StallBack:
    """Rows of one box are one box; the first shelf said is the one it goes on."""
    whole: dict[Box, BackBox] = {}
    for row in boxes:
        there = whole.get(row.box, BackBox(row.box))
        whole[row.box] = BackBox(row.box, [*there.counted, *row.counted], there.shelf or row.shelf)
    return bring_back(by=by, on=on, stall_day=stall_day, boxes=list(whole.values()), stems=stems, place=place, why=why)


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
            Whole("stems_each", required=False, about=_("stems in each sold fresh; empty: sold singly")),
            Words("why", required=False, about=_("why at another price than the list's")),
        ),
        part_of="sale",
    ),
    Kind(
        "stall_loads", "selling", _("boxes taken along to a market day"), _load,
        (Ref("stall_day", to="stall_days"), Ref("box", to="boxes")),
    ),
    Kind(
        "seconds_sold", "selling", _("damaged bunches put down to seconds and sold"), sell_as_seconds,
        (
            Key("key"), Day("on"), Ref("way", to="ways"), Ref("stall_day", to="stall_days", required=False),
            Ref("line", to="lines"), Whole("bunches"),
            Money("price", required=False, about=_("of one; empty: from the price list")),
            OneOf("paid", required=False, words=tuple(Sale.Paid.values), about=_("empty: cash")), Words("note", required=False),
        ),
    ),
    Kind(
        "stall_backs", "selling", _("what came back from a market day and was put away"), _back,
        (
            Key("key"), Day("on"), Ref("stall_day", to="stall_days"),
            Words("why", required=False, about=_("why any was thrown out")),
            Ref("place", to="places", required=False, about=_("where stems were hung")),
        ),
        parts={"boxes": "stall_back_boxes", "stems": "stall_back_stems"},
    ),
    Kind(
        "stall_back_boxes", "selling", _("bunches that came back in a box"), _came_back,
        (
            Ref("back", to="stall_backs"), Ref("box", to="boxes"), Ref("batch", to="run_outputs"), Whole("came_back"),
            Whole("thrown", required=False, about=_("of those thrown out")), Words("shelf", required=False),
        ),
        part_of="back",
    ),
    Kind(
        "stall_back_stems", "selling", _("stems that came back of a lot"), _stems,
        (
            Ref("back", to="stall_backs"), Ref("lot", to="lots"), Whole("hung", required=False), Whole("room", required=False),
            Whole("thrown", required=False),
        ),
        part_of="back",
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
