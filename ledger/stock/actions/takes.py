"""Stock-takes: counted box by box, put into the book together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from django.db.models import Max
from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, record, refusal, require_standing
from ledger.stock.models import Batch, Box, CountLine, Line, StockCount, StockTake, TakeCounted, TakeEnd
from ledger.stock.queries import Difference, differences, is_covered, there_on

from .book import lock_lines, unpost
from .boxes import require_no_parcel
from .putting_right import Apart, posted_by, put_right


@action("boxes")
def begin_take(
    *, by: User, on: date, shelf: str = "", line: Line | None = None, shown: bool = False, note: str = ""
) -> StockTake:
    """Begin to count a shelf, a line wherever it lies, or everything (neither); `shown`: those who count see the record."""
    shelf = shelf.strip()
    if shelf and line is not None:
        raise refusal("line", _("Count a shelf or a line, not both at once."), code="shelf_and_line")
    if shelf and not Box.objects.on_shelves().filter(shelf=shelf).exists():
        raise refusal("shelf", _("No box stands on a shelf called %(shelf)s."), code="no_such_shelf", shelf=shelf)
    return record(StockTake(on=on, shelf=shelf, line=line, shown=shown, note=note), by=by)


@action("boxes")
def count_in_take(
    *, by: User, on: date, take: StockTake, box: Box | None, counted: Mapping[Batch, int]
) -> list[TakeCounted]:
    """Note what was counted in a box (None: what is not yet boxed); only the batches named were counted.

    Nothing is put right yet. A batch counted before is counted anew: the earlier count is undone.
    """
    lock_lines(batch.line_id for batch in counted)
    take = _open(take, on)
    _require_covered(take, box, counted)
    recorded = there_on(box, on)
    return [
        _count(by, on, take, box, batch, recorded.get(batch.pk, 0), counted[batch])
        for batch in sorted(counted, key=lambda batch: batch.pk)
    ]


def _open(take: StockTake, on: date) -> StockTake:
    """The stock-take locked, refused where it is ended, undone, or begun only later."""
    take = StockTake.objects.lock(take)
    require_standing(take)
    if take.ends.standing().exists():
        raise refusal(None, _("It has been put into the book already. Undo its end, or begin another."), code="ended")
    if on < take.on:
        raise refusal("on", _("It was begun only on %(on)s."), code="too_early", on=take.on)
    return take


def _require_covered(take: StockTake, box: Box | None, counted: Mapping[Batch, int]) -> None:
    require_no_parcel(box)
    if not counted:
        raise refusal(None, _("Give at least one number."), code="nothing_counted")
    if any(number < 0 for number in counted.values()):
        raise refusal(None, _("A count cannot be below zero."), code="negative")
    if not all(is_covered(take, box, batch.line) for batch in counted):
        raise refusal(
            None, _("That is no part of this stock-take. Begin one that counts it, or change the box's shelf first."),
            code="not_in_take",
        )


def _count(by: User, on: date, take: StockTake, box: Box | None, batch: Batch, recorded: int, counted: int) -> TakeCounted:
    require_standing(batch)
    if on < batch.on:
        raise refusal("on", _("That batch was made only on %(on)s."), code="too_early", on=batch.on)
    before = take.counted.standing().filter(box=box, batch=batch).first()
    if before is not None:
        mark_undone(before, by=by)
    return record(TakeCounted(on=on, take=take, box=box, batch=batch, recorded=recorded, counted=counted), by=by, replaces=before)


@action("boxes")
def undo_counted(*, by: User, counted: TakeCounted) -> TakeCounted:
    """Undo what was counted of one batch in one place: it is not yet counted."""
    take = StockTake.objects.lock(counted.take)
    if take.ends.standing().exists():
        raise refusal(None, _("It has been put into the book already. Undo its end, or begin another."), code="ended")
    return undo_within(counted, by=by)


@action("boxes")
def undo_take(*, by: User, take: StockTake) -> StockTake:
    """Undo a stock-take that is not ended, with all that was counted for it."""
    take = StockTake.objects.lock(take)
    if not take.ends.standing().exists():
        for counted in take.counted.standing().order_by("pk"):
            undo_within(counted, by=by)
    return mark_undone(take, by=by)


@action("boxes")
def end_take(*, by: User, on: date, take: StockTake, reasons: Mapping[int, str]) -> TakeEnd:
    """Put every difference into the book in one step; `reasons` by the key of what was counted, wanted where some are missing.

    What is missing is written off, taking promised bunches where it must, at most what is still there. What is over is
    found, and brings back that batch's last count shortages first, those of this stock-take before all others.
    """
    lock_lines(take.counted.standing().values_list("batch__line", flat=True))
    take = _open(take, on)
    last = take.counted.standing().aggregate(last=Max("on"))["last"]
    if last is None:
        raise refusal(None, _("Nothing is counted yet."), code="nothing_counted")
    if on < last:
        raise refusal("on", _("Something was counted as late as %(on)s."), code="too_early", on=last)
    found = differences(take)
    _require_reasons(found, reasons)
    end = record(TakeEnd(on=on, take=take), by=by)
    _put_right(by, end, found, {pk: why.strip() for pk, why in reasons.items()})
    return end


def _require_reasons(found: Iterable[Difference], reasons: Mapping[int, str]) -> None:
    for one in found:
        if one.over < 0 and not reasons.get(one.counted.pk, "").strip():
            raise refusal(
                f"why_{one.counted.pk}", _("Say why %(n)d of %(batch)s are missing."), code="no_reason",
                n=-one.over, batch=one.counted.batch,
            )


def _put_right(by: User, end: TakeEnd, found: list[Difference], reasons: Mapping[int, str]) -> None:
    """Post all in one, and note it box by box."""
    otherwise = str(_("stock-take of %(on)s") % {"on": end.on})
    apart = [
        Apart(one.counted.batch, one.counted.box, one.over, reasons.get(one.counted.pk) or otherwise) for one in found
    ]
    counts: dict[int | None, StockCount] = {}
    for one, first in zip(found, put_right(by=by, on=end.on, found=apart), strict=True):
        box = one.counted.box_id
        if box not in counts:
            counts[box] = record(StockCount(on=end.on, box=one.counted.box, take_end=end, note=end.take.note), by=by)
        keep(CountLine(
            count=counts[box], batch=one.counted.batch, recorded=max(one.record, 0), counted=one.counted.counted,
            movement=first,
        ))


@action("boxes")
def undo_end_take(*, by: User, end: TakeEnd) -> TakeEnd:
    """Take all a stock-take put into the book out again, as one; it can be counted on and ended anew."""
    lines = CountLine.objects.filter(count__take_end=end, count__undone_at__isnull=True)
    lock_lines(lines.values_list("batch__line", flat=True))
    end = TakeEnd.objects.lock(end)
    movements = posted_by(lines.exclude(movement=None).select_related("movement__batch", "movement__box"))
    for count in end.counts.standing().order_by("pk"):
        undo_within(count, by=by)
    if movements:
        unpost(by=by, movements=movements)
    return mark_undone(end, by=by)
