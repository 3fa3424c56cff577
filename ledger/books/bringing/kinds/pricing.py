"""Ways of selling, their terms, and prices."""

from django.utils.translation import gettext_lazy as _

from ledger.costing.actions import plan_overheads
from ledger.pricing.actions import add_way, set_price, set_terms

from ..columns import Day, Key, Money, PerCent, Ref, Words, Year, YesNo
from ..rows import Kind

WAYS = (
    Kind(
        "ways", "prices", _("ways of selling"), add_way,
        (
            Key("key"), Words("name"), YesNo("with_tax", about=_("whether its prices are kept with tax")),
            YesNo("trade", about=_("whether it is to trade customers on order")),
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
            Ref("way", to="ways"), Day("on"), PerCent("fee_per_cent", gives="fee_bp", required=False),
            Money("fixed_day", required=False, about=_("pitch and hours of one day")),
            Money("usual_takings", required=False, about=_("takings of a usual day")),
            PerCent("margin_per_cent", gives="margin_bp"),
            Money("ending", required=False, about=_("how prices end, such as 0.50")),
        ),
    ),
    Kind(
        "prices", "prices", _("the price of a line by a way of selling, from a day"), set_price,
        (Ref("way", to="ways"), Ref("line", to="lines"), Day("on"), Money("price", gives="amount")),
    ),
)
