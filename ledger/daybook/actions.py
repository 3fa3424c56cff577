"""The verbs of the daybook: workers and their pay, hours noted, purchases, what space costs in a year."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import CostKind, CostObject, User
from ledger.facts.queries import tax_comes_back_on
from ledger.facts.writing import action, keep, record, refusal

from .models import Pay, Purchase, PurchaseLine, PurchaseShare, WorkEntry, Worker, WorkerRate, WorkShare, YearOfSpace
from .queries import first_without_rate, minutes_on, rate_in_force

MINUTES_OF_A_DAY = 24 * 60
LONGEST_STRETCH = 3660  # days
LONGEST_PAY = 366  # days

SpentOn = Sequence[tuple[CostObject, int]]


@dataclass(frozen=True)
class BoughtLine:
    """One line of a purchase, in minor units; `spent_on` names what bears it, by weight."""

    description: str
    kind: CostKind
    net: int
    tax: int
    spent_on: SpentOn
    covers_from: date | None = None
    covers_to: date | None = None


@action("money")
def add_worker(*, by: User, name: str, paid: bool = True, user: User | None = None) -> Worker:
    """Add a person whose hours are noted."""
    return keep(Worker(name=name, paid=paid, user=user))


@action("money")
def set_worker_rate(*, by: User, worker: Worker, on: date, per_hour: int) -> WorkerRate:
    """Record what an hour of a worker costs from a day on, in minor units."""
    return record(WorkerRate(worker=worker, on=on, per_hour=per_hour), by=by)


@action("money")
def record_pay(*, by: User, worker: Worker, on: date, first_day: date, last_day: date, amount: int) -> Pay:
    """Record wages paid for a stretch of days; a day is paid for once."""
    worker = Worker.objects.select_for_update(no_key=True).get(pk=worker.pk)
    if not worker.paid:
        raise refusal("worker", _("%(worker)s is not paid wages."), code="not_paid", worker=worker)
    if (last_day - first_day).days > LONGEST_PAY:
        raise refusal("last_day", _("Wages are entered for a year at most; check the year."), code="too_long")
    if last_day > on + timedelta(LONGEST_PAY):
        raise refusal("last_day", _("Wages are paid at most a year ahead; check the year."), code="too_far")
    earlier = worker.pays.standing().filter(first_day__lte=last_day, last_day__gte=first_day).first()
    if earlier is not None:
        raise refusal(
            "first_day", _("Already paid for %(first)s to %(last)s; undo that pay to enter it anew."),
            code="already_paid", first=earlier.first_day, last=earlier.last_day,
        )
    return record(Pay(worker=worker, on=on, first_day=first_day, last_day=last_day, amount=amount), by=by)


@action("work")
def note_work(
    *, by: User, worker: Worker, on: date, minutes: int, task: str, spent_on: SpentOn, note: str = ""
) -> WorkEntry:
    """Note a worker's minutes on one day, on one or several things by weight."""
    worker = Worker.objects.select_for_update(no_key=True).get(pk=worker.pk)
    if rate_in_force(worker, on) is None:
        raise refusal("worker", _("%(worker)s has no rate on that day yet."), code="no_rate", worker=worker)
    noted = minutes_on(worker, on)
    if noted + minutes > MINUTES_OF_A_DAY:
        raise refusal(
            "minutes", _("%(noted)d minutes are already noted for that day; a day has 1440."), code="too_long", noted=noted
        )
    _check_spent_on(spent_on)
    entry = record(WorkEntry(worker=worker, on=on, minutes=minutes, task=task, note=note), by=by)
    for one, weight in spent_on:
        keep(WorkShare(entry=entry, spent_on=one, weight=weight))
    return entry


def _check_spent_on(spent_on: SpentOn) -> None:
    if not spent_on:
        raise refusal("spent_on", _("Say what it was spent on."), code="spent_on_nothing")
    if len({one.pk for one, _weight in spent_on}) < len(spent_on):
        raise refusal("spent_on", _("Name each thing once."), code="named_twice")


@action("money")
def record_purchase(*, by: User, on: date, supplier: str, lines: Sequence[BoughtLine], reference: str = "") -> Purchase:
    """Record a bill with its lines; whether tax comes back is the seller's status that day."""
    if not lines:
        raise refusal(None, _("A purchase needs at least one line."), code="no_lines")
    purchase = record(Purchase(on=on, supplier=supplier, reference=reference), by=by)
    comes_back = tax_comes_back_on(on)
    for line in lines:
        _bought(purchase, line, comes_back)
    return purchase


def _bought(purchase: Purchase, bought: BoughtLine, comes_back: bool) -> PurchaseLine:
    _check_spent_on(bought.spent_on)
    _check_stretch(bought.covers_from, bought.covers_to)
    line = keep(
        PurchaseLine(
            purchase=purchase, description=bought.description, kind=bought.kind, net=bought.net, tax=bought.tax,
            tax_comes_back=comes_back, covers_from=bought.covers_from, covers_to=bought.covers_to,
        )
    )
    for one, weight in bought.spent_on:
        keep(PurchaseShare(purchase=purchase, line=line, spent_on=one, weight=weight))
    return line


def _check_stretch(first: date | None, last: date | None) -> None:
    if (first is None) != (last is None):
        raise refusal("covers_to", _("A stretch needs a first and a last day, in that order."), code="half_a_stretch")
    if first and last and (last - first).days > LONGEST_STRETCH:
        raise refusal("covers_to", _("A bill covers ten years at most; check the year."), code="too_long")


@action("money")
def set_year_of_space(
    *, by: User, space: CostObject, on: date, year: int, expected_cost: int, normal_unit_days: int = 0,
    normal_source: str = "",
) -> YearOfSpace:
    """Record what a plot or drying place is expected to cost in a year, and its normal use."""
    if space.kind not in {"plot", "place"}:
        raise refusal("space", _("Only a plot or a drying place has a year of space."), code="no_space")
    return record(
        YearOfSpace(
            space=space, on=on, year=year, expected_cost=expected_cost, normal_unit_days=normal_unit_days,
            normal_source=normal_source,
        ),
        by=by,
    )


@action("money")
def undo_worker_rate(*, by: User, rate: WorkerRate) -> WorkerRate:
    """Undo a rate; the one before it is in force again. Hours noted never lose their only rate."""
    worker = Worker.objects.select_for_update(no_key=True).get(pk=rate.worker_id)
    rate = undo_within(rate, by=by)
    entry = first_without_rate(worker)
    if entry is not None:
        raise refusal(None, _("%(what)s rests on this. Undo that first."), code="rested_on", what=str(entry))
    return rate


@action("money")
def undo_pay(*, by: User, pay: Pay) -> Pay:
    """Undo a pay."""
    return undo_within(pay, by=by)


@action("work")
def undo_work(*, by: User, entry: WorkEntry) -> WorkEntry:
    """Undo hours noted."""
    return undo_within(entry, by=by)


@action("money")
def undo_purchase(*, by: User, purchase: Purchase) -> Purchase:
    """Undo a purchase with all its lines."""
    return undo_within(purchase, by=by)


@action("money")
def undo_year_of_space(*, by: User, year_of_space: YearOfSpace) -> YearOfSpace:
    """Undo a space's year."""
    return undo_within(year_of_space, by=by)
