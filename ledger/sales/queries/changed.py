"""Prices that were changed at the sale, and what that took off; what fresh bunches were last sold at."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from ledger.growing.models import Lot
from ledger.pricing.models import Way
from ledger.pricing.queries import steps_on
from ledger.sales.models import SaleLine, StallDay

MOST_LOOKED_AT = 200


@dataclass(frozen=True)
class Changed:
    """A line of a sale charged at another price than the list's, minor units; `listed` None: the list has none any more."""

    line: SaleLine
    listed: int | None

    @property
    def took_off(self) -> int | None:
        """What it took off the list's price, below zero where more was asked."""
        return None if self.listed is None else (self.listed - self.line.price) * self.line.quantity


def changed_at(day: StallDay) -> list[Changed]:
    """The changed prices of a stall day, in order of sale."""
    lines = SaleLine.objects.filter(sale__stall_day=day, sale__undone_at=None)
    return _changed(lines, {(day.way_id, day.on): steps_on(day.way, day.on)})


def changed_between(first: date, last: date) -> list[Changed]:
    """The changed prices of all retail sales of some days, in order of day and sale; a few queries for each day and way."""
    lines = SaleLine.objects.filter(sale__undone_at=None, sale__on__gte=first, sale__on__lte=last).exclude(why="")
    days = {(line.sale.way_id, line.sale.on): line.sale.way for line in lines.select_related("sale__way")}
    return _changed(lines, {(pk, on): steps_on(way, on) for (pk, on), way in days.items()})


Lists = dict[tuple[int, date], dict[int, list[tuple[int, int]]]]


def _changed(lines: QuerySet[SaleLine], lists: Lists) -> list[Changed]:
    rows = lines.exclude(why="").select_related("sale__way", "sale__stall_day", "line__variety__species")
    return [
        Changed(row, listed_at(lists[row.sale.way_id, row.sale.on].get(row.line_id or 0, []), row.quantity))
        for row in rows.order_by("sale__on", "sale", "pk")
    ]


def listed_at(steps: Iterable[tuple[int, int]], quantity: int) -> int | None:
    """The price of one of so many by a list's steps, the lowest step first; None where none reaches it.

    >>> listed_at([(1, 500), (10, 450)], 3), listed_at([(1, 500), (10, 450)], 12), listed_at([(10, 450)], 3)
    (500, 450, None)
    """
    reached = [amount for at_least, amount in steps if at_least <= quantity]
    return reached[-1] if reached else None


def listed_of_sale(lines: Iterable[SaleLine]) -> dict[int, int]:
    """What the list said for each changed line of one sale, by the line's key."""
    changed = [line for line in lines if line.why]
    steps = steps_on(changed[0].sale.way, changed[0].sale.on) if changed else {}
    found = {line.pk: listed_at(steps.get(line.line_id or 0, []), line.quantity) for line in changed}
    return {pk: listed for pk, listed in found.items() if listed is not None}


def fresh_before(way: Way, lots: Collection[Lot]) -> dict[int, tuple[int, int]]:
    """For each lot, (stems in each, price of one) at which its variety was last sold fresh by a way, by the lot's key."""
    varieties = {lot.planting.variety_id for lot in lots}
    rows = SaleLine.objects.filter(sale__way=way, sale__undone_at=None, parting__lot__planting__variety__in=varieties)
    rows = rows.order_by("-sale__on", "-pk")
    last: dict[int, tuple[int, int]] = {}
    for variety, stems, quantity, price in rows.values_list(
        "parting__lot__planting__variety", "parting__stems", "quantity", "price"
    )[:MOST_LOOKED_AT]:
        last.setdefault(variety, (stems // quantity, price))
    return {lot.pk: last[lot.planting.variety_id] for lot in lots if lot.planting.variety_id in last}
