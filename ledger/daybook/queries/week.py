"""A worker's week: what was noted, what it is worth at the rates, what was paid for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from django.apps import apps
from django.db.models import Sum

from ledger.reckoning.hours import pay_within, worth_of

if TYPE_CHECKING:
    from ..models import Pay, Worker


@dataclass(frozen=True)
class Week:
    """Seven days from Monday, both ends within; money in minor units.

    `paid` is the part of each pay that falls in the week by days, None for
    a worker who is not paid wages.
    """

    worker: Worker
    first: date
    last: date
    days: list[tuple[date, int]]
    worth: int
    pays: list[tuple[Pay, int]]

    @property
    def minutes(self) -> int:
        return sum(minutes for _on, minutes in self.days)

    @property
    def paid(self) -> int | None:
        return sum(part for _pay, part in self.pays) if self.worker.paid else None

    @property
    def difference(self) -> int | None:
        """Paid less noted: paid and not booked, or below zero, pay not yet entered."""
        return None if self.paid is None else self.paid - self.worth


def monday_of(on: date) -> date:
    """The first day of a day's week (ISO 8601)."""
    return on - timedelta(days=on.weekday())


def week_of(worker: Worker, on: date) -> Week:
    """The week of that day."""
    first = monday_of(on)
    last = first + timedelta(days=6)
    minutes = _minutes(worker, first, last)
    rates = _rates(worker, first, last)
    return Week(
        worker=worker, first=first, last=last, worth=worth_of([(minutes[day], rates[day]) for day in minutes]),
        days=[(day, minutes.get(day, 0)) for day in rates], pays=_pays(worker, first, last),
    )


def _minutes(worker: Worker, first: date, last: date) -> dict[date, int]:
    entries = apps.get_model("daybook", "WorkEntry")._default_manager.standing().filter(worker=worker, on__range=(first, last))
    return dict(entries.order_by("on").values_list("on").annotate(n=Sum("minutes")))


def _rates(worker: Worker, first: date, last: date) -> dict[date, int]:
    """What an hour costs on each day of the week, nil before the first rate."""
    known = list(
        apps.get_model("daybook", "WorkerRate")._default_manager.standing_on(last)
        .filter(worker=worker).order_by("-on", "-pk").values_list("on", "per_hour")
    )
    days = [first + timedelta(days=day) for day in range(7)]
    return {day: next((per_hour for since, per_hour in known if since <= day), 0) for day in days}


def _pays(worker: Worker, first: date, last: date) -> list[tuple[Pay, int]]:
    """Each pay that touches the week, with the part of it that falls in it."""
    pays = apps.get_model("daybook", "Pay")._default_manager.standing().filter(worker=worker)
    touching = pays.filter(first_day__lte=last, last_day__gte=first).order_by("first_day", "pk")
    return [
        (pay, pay_within(pay.amount, (pay.first_day, pay.last_day), (first, last))) for pay in touching
    ]
