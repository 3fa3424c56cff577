"""Counting boxes: the differences become rows of the stock book."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, record, refusal
from ledger.stock.models import Batch, Box, CountLine, StockCount
from ledger.stock.queries import there_on

from .book import lock_lines, unpost
from .boxes import require_no_parcel
from .putting_right import Apart, posted_by, put_right


@action("boxes")
def count_box(*, by: User, on: date, box: Box, counted: Mapping[Batch, int], note: str = "") -> StockCount:
    """Record what was counted in a box; only the batches named were counted.

    What is missing is written off, taking promised bunches where it must, at most what is still there on every later day.
    What is over is found, and brings back that batch's last count shortages first.
    """
    return count_boxes(by=by, on=on, counted={box: counted}, note=note)[0]


@action("boxes")
def count_boxes(
    *, by: User, on: date, counted: Mapping[Box, Mapping[Batch, int]], note: str = ""
) -> list[StockCount]:
    """Record what was counted in several boxes, put right as one: what lies in the wrong box is not missing. By key of box."""
    for box, numbers in counted.items():
        require_no_parcel(box)
        if any(number < 0 for number in numbers.values()):
            raise refusal(None, _("A count cannot be below zero."), code="negative")
    lock_lines(batch.line_id for numbers in counted.values() for batch in numbers)
    boxes = sorted(counted, key=lambda box: box.pk)
    counts = {box: record(StockCount(on=on, box=box, note=note), by=by) for box in boxes}
    lines = [line for box in boxes for line in _lines(counts[box], counted[box])]
    why = str(_("count of %(on)s") % {"on": on})
    apart = [Apart(line.batch, line.count.box, line.counted - line.recorded, why) for line in lines]
    for line, first in zip(lines, put_right(by=by, on=on, found=apart), strict=True):
        line.movement = first
        keep(line)
    return list(counts.values())


def _lines(count: StockCount, counted: Mapping[Batch, int]) -> list[CountLine]:
    """What was counted in one box beside what the record says of that day, not yet kept."""
    recorded = there_on(count.box, count.on)
    return [
        CountLine(count=count, batch=batch, recorded=recorded.get(batch.pk, 0), counted=counted[batch])
        for batch in sorted(counted, key=lambda batch: batch.pk)
    ]


@action("boxes")
def undo_count(*, by: User, count: StockCount) -> StockCount:
    """Undo a count with all it put right, as one."""
    lock_lines(count.lines.values_list("batch__line", flat=True))
    count = StockCount.objects.lock(count)
    if count.take_end_id is not None:
        raise refusal(None, _("It was put into the book by a stock-take. Undo the end of that instead."), code="part_of_more")
    count = mark_undone(count, by=by)
    movements = posted_by(count.lines.exclude(movement=None).select_related("movement__batch", "movement__box"))
    if movements:
        unpost(by=by, movements=movements)
    return count
