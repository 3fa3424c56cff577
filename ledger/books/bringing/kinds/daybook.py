"""Time and money spent."""

from decimal import Decimal
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.daybook.actions import (
    BoughtLine,
    add_material,
    add_worker,
    count_material,
    note_work,
    record_pay,
    record_purchase,
    set_worker_rate,
    set_year_of_space,
    use_material,
)
from ledger.daybook.models import Material, WorkEntry, YearOfSpace
from ledger.drying.models import Place
from ledger.facts.models import User
from ledger.growing.models import Plot

from ..columns import Day, Key, KindOfCost, Money, OneOf, PlainDecimal, Ref, Whole, Words, Year, YesNo
from ..rows import Kind
from ..spending import OneThing, Space, SpentOn


def _bought(*, net: int, tax: int = 0, **given: Any) -> BoughtLine:
    return BoughtLine(net=net, tax=tax, **given)


def _year_of_space(
    *, by: User, space: Plot | Place, normal_use: Decimal = Decimal(0), normal_source: str = "", **given: Any
) -> YearOfSpace:
    """The ledger keeps a plot's use in hundredths of a square metre times days."""
    parts = 100 if isinstance(space, Plot) else 1
    return set_year_of_space(
        by=by, space=space.cost_object, normal_unit_days=int(normal_use * parts), normal_source=normal_source, **given
    )


PEOPLE = (
    Kind(
        "workers", "money", _("people whose hours are noted"), add_worker,
        (Key("key"), Words("name"), YesNo("paid", about=_("whether wages are paid"))),
    ),
    Kind(
        "worker_rates", "money", _("what an hour of a worker costs, from a day"), set_worker_rate,
        (Ref("worker", to="workers"), Day("on"), Money("per_hour")),
    ),
)
MATERIALS = (
    Kind(
        "materials", "work", _("what is bought to be used up"), add_material,
        (
            Key("key"), Words("name"), OneOf("unit", words=tuple(Material.Unit.values)),
            YesNo("by_count", required=False, about=_("counted now and then instead of noted when used")),
        ),
    ),
)
KINDS = (
    Kind(
        "pay", "money", _("wages paid, for a stretch of days"), record_pay,
        (Ref("worker", to="workers"), Day("on", about=_("the day paid")), Day("first_day"), Day("last_day"), Money("amount")),
    ),
    Kind(
        "work", "work", _("time spent, and on what"), note_work,
        (
            Ref("worker", to="workers"), Day("on"), Whole("minutes"),
            OneOf("task", words=tuple(WorkEntry.Task.values)), SpentOn("spent_on"), Words("note", required=False),
        ),
    ),
    Kind(
        "purchases", "money", _("bills and receipts"), record_purchase,
        (Key("key"), Day("on"), Words("supplier"), Words("reference", required=False)),
        parts={"lines": "purchase_lines"},
    ),
    Kind(
        "purchase_lines", "money", _("what was bought, and for what"), _bought,
        (
            Ref("purchase", to="purchases"), Words("description"), KindOfCost("kind"), Money("net"),
            Money("tax", required=False), SpentOn("spent_on"),
            Day("covers_from", required=False), Day("covers_to", required=False, about=_("the last day covered")),
            Whole("quantity", required=False, about=_("how many units of the material that the line buys")),
        ),
        part_of="purchase",
    ),
    Kind(
        "material_uses", "work", _("what of a material went into one thing"), use_material,
        (
            Ref("material", to="materials"), Day("on"), Whole("quantity"), OneThing("spent_on"),
            Words("note", required=False),
        ),
    ),
    Kind(
        "material_counts", "work", _("what of a material there was at the end of a day"), count_material,
        (Ref("material", to="materials"), Day("on"), Whole("counted"), Words("note", required=False)),
    ),
    Kind(
        "years_of_space", "money", _("what a plot or drying place costs in a year, and its normal use"), _year_of_space,
        (
            Space("space"), Day("on"), Year("year"), Money("expected_cost"),
            PlainDecimal("normal_use", required=False, about=_("square metres, or units of room, times days")),
            Words("normal_source", required=False),
        ),
    ),
)
