"""What was spent, entry by entry, and pay against the work it paid for."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import Any

from ledger.daybook.models import Pay, Purchase, PurchaseLine, PurchaseShare, WorkEntry, Worker, WorkerRate, WorkShare
from ledger.reckoning.book import Spending
from ledger.reckoning.sharing import MILLION, share_out
from ledger.reckoning.taking import proportion


def spending_as_of(on: date, known: datetime | None = None) -> tuple[list[Spending], int]:
    """All that was spent up to a day, and what was paid and not booked, in millionths.

    Not booked is negative where work was noted for which no pay is entered yet.
    """
    paid = dict(Worker.objects.values_list("pk", "paid"))
    entries = _work(on, known)
    spent = [*_spent_on_work(entries, paid), *_spent_on_purchases(on, known)]
    pay = sum(amount for amount in Pay.objects.as_of(on, known).values_list("amount", flat=True)) * MILLION
    booked = sum(cost for _, worker, _, cost in entries if paid[worker])
    return spent, pay - booked


def _work(on: date, known: datetime | None) -> list[tuple[int, int, date, int]]:
    """Every work entry: its number, worker, day and cost at that worker's rate of the day."""
    rates: dict[int, list[tuple[date, int]]] = defaultdict(list)
    for worker, day, per_hour in (
        WorkerRate.objects.as_of(on, known).order_by("on", "pk").values_list("worker_id", "on", "per_hour")
    ):
        rates[worker].append((day, per_hour))
    rows = WorkEntry.objects.as_of(on, known).order_by("on", "pk").values_list("pk", "worker_id", "on", "minutes")
    return [
        (pk, worker, day, proportion(minutes * rate_on(rates[worker], day), MILLION, 60))
        for pk, worker, day, minutes in rows
    ]


def rate_on(rates: Sequence[tuple[date, int]], on: date) -> int:
    """The rate in force on a day; the first one for days before it; nil without any."""
    if not rates:
        return 0
    place = bisect_right([day for day, _ in rates], on)
    return rates[max(0, place - 1)][1]


def _spent_on_work(entries: Sequence[tuple[int, int, date, int]], paid: dict[int, bool]) -> Iterable[Spending]:
    shares = _shares(WorkShare.objects.order_by("entry_id", "pk").values_list("entry_id", "spent_on_id", "weight"))
    for pk, worker, day, cost in entries:
        kind = "labour" if paid[worker] else "unpaid"
        yield from _shared(shares[pk], day, kind, cost, ("work", pk), None)


def _spent_on_purchases(on: date, known: datetime | None) -> Iterable[Spending]:
    shares = _shares(PurchaseShare.objects.order_by("line_id", "pk").values_list("line_id", "spent_on_id", "weight"))
    lines = PurchaseLine.objects.filter(purchase__in=Purchase.objects.as_of(on, known)).select_related("kind", "purchase")
    for line in lines.order_by("purchase__on", "pk"):
        covers = (line.covers_from, line.covers_to) if line.covers_from and line.covers_to else None
        cost, entry = line.cost * MILLION, ("purchase", line.pk)
        yield from _shared(shares[line.pk], line.purchase.on, line.kind.code, cost, entry, covers, line.quantity or 0)


def _shares(rows: Iterable[tuple[int, int, int]]) -> dict[int, list[tuple[int, int]]]:
    shares: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for owner, spent_on, weight in rows:
        shares[owner].append((spent_on, weight))
    return shares


def _shared(
    shares: Sequence[tuple[int, int]], on: date, kind: str, cost: int, entry: tuple[str, int], covers: Any, quantity: int = 0
) -> Iterable[Spending]:
    parts = share_out(cost, [weight for _, weight in shares]) if cost else [0] * len(shares)
    for (spent_on, _), part in zip(shares, parts, strict=True):
        yield Spending(spent_on, on, kind, part, entry, covers, quantity)
