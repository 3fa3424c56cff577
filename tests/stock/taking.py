"""What tests of stock-takes do again and again: count, put into the book, read what was posted."""

from datetime import date

from ledger.stock.actions import (
    count_in_take,
    end_take,
)
from ledger.stock.models import Movement
from ledger.stock.queries import differences

AUGUST_1, AUGUST_5, AUGUST_6, AUGUST_9 = date(2024, 8, 1), date(2024, 8, 5), date(2024, 8, 6), date(2024, 8, 9)


def counted(by, take, box, numbers, *, on=AUGUST_5):
    """What was counted in a box."""
    return count_in_take(by=by, on=on, take=take, box=box, counted=numbers)


def end(by, take, *, on=AUGUST_6, why="mice"):
    """The stock-take put into the book, one reason for all."""
    return end_take(by=by, on=on, take=take, reasons={one.counted.pk: why for one in differences(take)})


def posted(kind):
    """Rows of one kind in the stock book: batch, bunches, what they bring back."""
    rows = Movement.objects.standing().filter(kind=kind).order_by("pk")
    return [(row.batch, row.bunches, row.brings_back) for row in rows]
