"""Orders that come round: which day is next, which are due and of which nothing was said yet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from ledger.reckoning.coming_round import days_due
from ledger.sales.models import Order, StandingEnd, StandingLeftOut, StandingOrder

AHEAD = timedelta(14)


@dataclass(frozen=True)
class Due:
    """A day on which a standing order comes round and that was neither taken nor left out."""

    standing_order: StandingOrder
    wanted_on: date


def comes_round(standing: StandingOrder, day: date) -> bool:
    """Whether that is one of its days, its end left aside."""
    return any(due == day for due in days_due(standing.first_on, standing.every, standing.unit, day))


def last_day(standing: StandingOrder) -> date | None:
    """The day from which on nothing of it is wanted any more; None: it goes on."""
    return standing.ends.standing().values_list("on", flat=True).first()


def due_by(day: date, of: Iterable[StandingOrder] | None = None) -> list[Due]:
    """What comes round by a day and was neither taken nor left out, the earliest first; four statements whatever the number.

    `of`: only these standing orders, None: all that stand.
    """
    rows = list(StandingOrder.objects.standing().select_related("customer", "way").order_by("pk") if of is None else of)
    ended = dict(StandingEnd.objects.standing().filter(standing_order__in=rows).values_list("standing_order", "on"))
    said: dict[int, set[date | None]] = defaultdict(set)
    for model in (Order, StandingLeftOut):
        told = model._default_manager.filter(standing_order__in=rows, undone_at=None)
        for pk, wanted_on in told.order_by("pk").values_list("standing_order", "wanted_on"):
            said[pk].add(wanted_on)
    found = [
        Due(one, at)
        for one in rows
        for at in days_due(one.first_on, one.every, one.unit, min(day, ended.get(one.pk, date.max) - timedelta(1)))
        if at not in said[one.pk]
    ]
    return sorted(found, key=lambda due: (due.wanted_on, due.standing_order.pk))
