"""The proof: everything the ledger says of itself, read afresh and held against itself."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db import transaction
from django.db.models import Sum

from ledger.costing.queries import Bases, fresh_book
from ledger.daybook.models import Pay, Purchase, PurchaseLine
from ledger.facts.models import LedgerState
from ledger.facts.queries import ledger_state, today
from ledger.reckoning.book import Book
from ledger.reckoning.sharing import MILLION

from .places import Place, places_on, totals
from .proof_closed import closed_differences
from .proof_counts import count_differences
from .proof_jobs import job_differences
from .proof_papers import paper_differences
from .proof_quantities import quantity_differences
from .proof_sold import sold_differences

TRIES = 3


@dataclass(frozen=True)
class Proof:
    """Where everything is, and every difference found; `ok` when there is none."""

    on: date
    places: dict[str, Place]
    differences: list[str]

    @property
    def ok(self) -> bool:
        return not self.differences


def prove(on: date | None = None) -> Proof:
    """Prove the ledger as of a day (None: today), reading everything afresh.

    Quantities, running figures and papers are proved as they stand now; money
    as of the day. A lone fact with nothing to contradict it cannot be caught.
    Where somebody wrote meanwhile it is read again, and after three tries once
    under the ledger's lock: what is read at two moments need not agree.
    """
    day = on or today()
    for _ in range(TRIES):
        token = ledger_state().token
        found = _prove(day)
        if ledger_state().token == token:
            return found
    with transaction.atomic():
        LedgerState.objects.select_for_update(no_key=True).get(pk=1)
        return _prove(day)


def _prove(day: date) -> Proof:
    differences = [
        *quantity_differences(), *count_differences(), *sold_differences(), *job_differences(), *paper_differences(),
        *closed_differences(),
    ]
    try:
        made = fresh_book(day)
    except (ValueError, KeyError) as error:
        return Proof(day, {}, [*differences, f"the cost book cannot be made: {error}"])
    places = places_on(day, made)
    return Proof(day, places, [*differences, *money_differences(made, places)])


def money_differences(made: Book, places: dict[str, Place]) -> Iterable[str]:
    """Money entered against where it is, once for money spent and once for full cost."""
    for key, amount in made.unplaced():
        yield f"{key[0]} {key[1]}: {amount} millionths neither went on nor came to rest"
    entered, unpaid = entered_by(made.facts.on), unpaid_work(made)
    whole = totals(places)
    if whole.paid != entered:
        yield f"money spent: {entered} millionths entered, {whole.paid} in places"
    if whole.full != entered + unpaid:
        yield f"full cost: {entered + unpaid} millionths entered, {whole.full} in places"


def entered_by(on: date) -> int:
    """All pay and purchases entered up to a day, in millionths, added up apart from the cost book."""
    pay = Pay.objects.standing_on(on).aggregate(n=Sum("amount"))["n"] or 0
    lines = PurchaseLine.objects.filter(purchase__in=Purchase.objects.standing_on(on))
    net = lines.aggregate(n=Sum("net"))["n"] or 0
    tax = lines.filter(tax_comes_back=False).aggregate(n=Sum("tax"))["n"] or 0
    return (pay + net + tax) * MILLION


def unpaid_work(made: Book) -> int:
    """Hours of unpaid people at their notional rate, in millionths."""
    bases = Bases(made.facts.on)
    return sum(one.amount for one in made.facts.spending if not bases.paid(("", one.kind)))
