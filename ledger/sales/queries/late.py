"""What is entered for a stall day after it was put away, beside what was missing then."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from itertools import takewhile

from ledger.sales.models import StallBack, StallDay
from ledger.stock.models import Line, Movement
from ledger.stock.queries import lowest_from


def missed_of(day: StallDay, line: Line) -> list[tuple[Movement, int]]:
    """What putting away a stall day wrote off of a line as missing, and how many nothing has brought back, the oldest first."""
    missing = Movement.objects.standing().filter(kind=Movement.Kind.WRITTEN_OFF, batch__line=line, batch__on__lte=day.on)
    rows = missing.filter(count_line__count__stall_back_row__back__stall_day=day)
    rows = rows.with_brought_back().select_related("batch", "box").order_by("batch__on", "batch__pk", "pk")
    return [(row, row.used - row.brought_back) for row in rows if row.used > row.brought_back]


def there_before(shortage: Movement, on: date) -> int:
    """The fewest of the missing bunches' place from a day on until they were missed, at most as many as were missing."""
    if shortage.on <= on:
        return shortage.used
    changes = Movement.objects.standing().filter(on__lt=shortage.on).in_place(shortage.batch_id, shortage.box_id).by_day()
    return min(lowest_from(changes, on), shortage.used)


def found_late_for(gone: Movement, since: datetime) -> list[Movement]:
    """What was found of the missing for a row of the stock book, its sale begun at `since`: the rows directly before it."""
    before = Movement.objects.in_place(gone.batch_id, gone.box_id).filter(pk__lt=gone.pk).order_by("-pk")
    own = takewhile(lambda row: row.kind == Movement.Kind.FOUND and row.recorded_at >= since, before)
    return [row for row in own if row.stands and not row.to_check]


def found_late(back: StallBack) -> list[Movement]:
    """All that was brought back of what a stall day's putting away missed, for what was entered for that day since."""
    sales = back.stall_day.sales.standing().filter(recorded_at__gte=back.recorded_at).select_related("rework").order_by("pk")
    return [
        found for sale in sales.prefetch_related("takings__movement", "rework__drawn")
        for gone in _gone_by(sale) for found in found_late_for(gone, sale.recorded_at)
    ]


def _gone_by(sale: object) -> Iterable[Movement]:
    """The rows of the stock book a sale took, those put down to seconds for it too."""
    yield from (taking.movement for taking in sale.takings.all())  # type: ignore[attr-defined]
    if sale.rework is not None:  # type: ignore[attr-defined]
        yield from sale.rework.drawn.all()  # type: ignore[attr-defined]
