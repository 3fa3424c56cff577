"""One customer's price list: own prices where there are, else the way's."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from ledger.facts.queries import holding
from ledger.pricing.models import Way
from ledger.pricing.queries import steps_on
from ledger.pricing.queries.words import steps_in_words
from ledger.reckoning.currency import minor_digits
from ledger.sales.models import Customer
from ledger.stock.models import Line

from .agreed import own_steps


@dataclass(frozen=True)
class OwnRow:
    """One line: the price of one (None: only from a step on), steps in words, whether it is the customer's own."""

    line: Line
    amount: int | None
    steps: str
    own: bool


def own_list(customer: Customer, way: Way, on: date) -> list[OwnRow]:
    """What each line costs this customer by a way that day, in the order of lines.

    A quantity takes the own price of the highest step it reaches, and the list's where it reaches none.
    """
    listed, own = steps_on(way, on), own_steps(way, on, customer)
    digits = minor_digits(holding().currency)
    rows = []
    for line in Line.objects.whole().filter(pk__in={*listed, *own}):
        steps = _together(listed.get(line.pk, []), own.get(line.pk, {}).get(customer, []))
        amount = next((amount for at_least, amount in steps if at_least == 1), None)
        rows.append(OwnRow(line, amount, steps_in_words(steps, digits), line.pk in own))
    return rows


def _together(listed: list[tuple[int, int]], own: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Own steps, and those of the list below the first of them."""
    first = own[0][0] if own else None
    return [*[one for one in listed if first is None or one[0] < first], *own]
