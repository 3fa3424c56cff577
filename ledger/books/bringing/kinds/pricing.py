"""Ways of selling, their terms, prices and offers."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.costing.actions import plan_overheads
from ledger.facts.models import User
from ledger.pricing.actions import add_offer, add_way, end_offer, set_price, set_terms
from ledger.pricing.models import Price, Way
from ledger.stock.models import Line

from ..columns import Day, Key, Money, OneOf, PerCent, Ref, Whole, Words, Year, YesNo
from ..rows import Kind


def _set_price(*, by: User, amount: int | None = None, **given: Any) -> Price:
    return set_price(by=by, amount=amount, **given)


def _offered(*, line: Line) -> Line:
    return line


WAYS = (
    Kind(
        "ways", "prices", _("ways of selling"), add_way,
        (
            Key("key"), Words("name"), YesNo("with_tax", about=_("whether its prices are kept with tax")),
            YesNo("trade", about=_("whether it is to trade customers on order")),
            OneOf("kind", required=False, words=tuple(Way.Kind.values), about=_("which costs it has")),
        ),
    ),
)
TERMS = (
    Kind(
        "overheads", "money", _("a year's expected overheads and the usual base they are spread on"), plan_overheads,
        (
            Day("on"), Year("year"), Money("overheads"), Money("usual_idle_and_luck"),
            Money("usual_base"), Money("storage", required=False), Words("source", required=False),
        ),
    ),
    Kind(
        "terms", "prices", _("what a way of selling costs, and the margin wanted, from a day"), set_terms,
        (
            Ref("way", to="ways"), Day("on"),
            PerCent("fee_per_cent", gives="fee_bp", required=False, about=_("card fee or commission")),
            PerCent("card_share_per_cent", gives="card_share_bp", required=False, about=_("share of takings it is paid on")),
            PerCent("pitch_per_cent", gives="pitch_bp", required=False, about=_("pitch by takings")),
            PerCent("bad_debt_per_cent", gives="bad_debt_bp", required=False, about=_("what is never paid")),
            Whole("days_to_wait", required=False, about=_("until the money comes")),
            PerCent("interest_per_cent", gives="interest_bp", required=False, about=_("what money costs a year")),
            Money("fixed_day", required=False, about=_("pitch and other fixed cost of one day")),
            Whole("day_minutes", required=False, about=_("hours of one day, in minutes")),
            Money("hour_cost", required=False, about=_("what such an hour costs")),
            Money("usual_takings", required=False, about=_("takings of a usual day, with tax")),
            Money("fixed_parcel", required=False, about=_("box and packing of a parcel")),
            Money("carriage", required=False, about=_("carriage or delivery not charged on")),
            Money("usual_parcel", required=False, about=_("usual worth of a parcel or delivery, with tax")),
            PerCent("margin_per_cent", gives="margin_bp"),
            Money("ending", required=False, about=_("how prices end, such as 0.50")),
            Money("ending_every", required=False, about=_("of every, such as 1.00")),
        ),
    ),
    Kind(
        "prices", "prices", _("the price of a line by a way of selling, from a day"), _set_price,
        (
            Ref("way", to="ways"), Ref("line", to="lines"), Day("on"),
            Whole("at_least", required=False, about=_("for so many or more at once; empty: any number")),
            Money("price", gives="amount", required=False, about=_("of one; empty: no longer sold so")),
        ),
    ),
    Kind(
        "offers", "prices", _("several together for one price, from a day"), add_offer,
        (
            Key("key"), Ref("way", to="ways"), Day("on"), Words("name"), Whole("quantity"), Money("price", gives="amount"),
            Day("until", required=False, about=_("last day; empty: until ended")),
        ),
        parts={"lines": "offer_lines"},
    ),
    Kind(
        "offer_lines", "prices", _("the lines that count towards an offer"), _offered,
        (Ref("offer", to="offers"), Ref("line", to="lines")), part_of="offer",
    ),
    Kind(
        "offer_ends", "prices", _("offers ended: from which day on they hold no longer"), end_offer,
        (Ref("offer", to="offers"), Day("on")),
    ),
)
