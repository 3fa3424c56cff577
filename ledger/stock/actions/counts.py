"""Counting a box: the differences become rows of the stock book."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, record, refusal
from ledger.stock.models import Batch, Box, CountLine, Movement, StockCount
from ledger.stock.queries import found_by_count, shortages_of, there_on

from .book import Row, lock_lines, post, unpost
from .boxes import require_no_parcel


@action("boxes")
def count_box(*, by: User, on: date, box: Box, counted: Mapping[Batch, int], note: str = "") -> StockCount:
    """Record what was counted in a box; only the batches named were counted.

    What is missing is written off, taking promised bunches where it must; what
    is over is found, and brings back that batch's last count shortages first.
    """
    require_no_parcel(box)
    if any(number < 0 for number in counted.values()):
        raise refusal(None, _("A count cannot be below zero."), code="negative")
    lock_lines(batch.line_id for batch in counted)
    recorded = there_on(box, on)
    count = record(StockCount(on=on, box=box, note=note), by=by)
    for batch in sorted(counted, key=lambda batch: batch.pk):
        _put_right(by, count, batch, recorded.get(batch.pk, 0), counted[batch])
    return count


def _put_right(by: User, count: StockCount, batch: Batch, recorded: int, counted: int) -> None:
    reason = str(_("count of %(on)s") % {"on": count.on})
    rows = found_rows(batch, count.box, counted - recorded, count.on, reason) if counted > recorded else []
    if counted < recorded:
        rows = [Row(batch, count.box, counted - recorded, Movement.Kind.WRITTEN_OFF, reason)]
    posted = post(by=by, on=count.on, rows=rows, takes_promised=True) if rows else []
    keep(
        CountLine(
            count=count, batch=batch, recorded=recorded, counted=counted, movement=posted[0] if posted else None
        )
    )


def found_rows(
    batch: Batch, box: Box | None, bunches: int, on: date, reason: str, *, to_check: bool = False
) -> list[Row]:
    """The rows for bunches found: first what earlier counts missed, then the rest."""
    rows = []
    for shortage, missing in shortages_of(batch, on):
        back = min(missing, bunches)
        if back:
            rows.append(Row(batch, box, back, Movement.Kind.FOUND, reason, to_check, shortage))
        bunches -= back
    if bunches:
        rows.append(Row(batch, box, bunches, Movement.Kind.FOUND, reason, to_check))
    return rows


@action("boxes")
def undo_count(*, by: User, count: StockCount) -> StockCount:
    """Undo a count with all it put right."""
    lock_lines(count.lines.values_list("batch__line", flat=True))
    count = StockCount.objects.lock(count)
    if count.take_end_id is not None:
        raise refusal(None, _("It was put into the book by a stock-take. Undo the end of that instead."), code="part_of_more")
    count = mark_undone(count, by=by)
    for line in count.lines.exclude(movement=None).select_related("movement__batch"):
        assert line.movement is not None
        more = found_by_count(line.movement) if line.movement.kind == Movement.Kind.FOUND else []
        unpost(by=by, movements=[line.movement, *more])
    return count
