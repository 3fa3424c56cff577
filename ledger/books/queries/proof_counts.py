"""Whether counts, stock-takes and boxes repacked agree with the rows of the stock book they wrote."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import F, Q, Sum

from ledger.stock.models import CountLine, Movement, RepackedRow, Repacking, StockCount, TakeCounted
from ledger.stock.queries import found_by_count


def count_differences() -> Iterable[str]:
    """Every count line, end of a stock-take and repacking that does not agree with its rows."""
    yield from _count_lines()
    yield from _takes()
    yield from _repackings()


def _count_lines() -> Iterable[str]:
    """What a count put right is what it found; less, where less was there to be missing, or found since for a stock-take."""
    rows = CountLine.objects.filter(count__undone_at__isnull=True).select_related("count", "movement__batch").order_by("pk")
    for line in rows.exclude(movement=None, recorded=F("counted")):
        over, posted = line.counted - line.recorded, _posted(line)
        if posted != over and not (_may_be_less(line) and min(over, 0) <= posted <= max(over, 0)):
            yield f"count line {line.pk}: {line.counted} counted of {line.recorded}, {posted:+d} in the stock book"
        moved = line.movement
        if moved and (moved.batch_id != line.batch_id or moved.box_id != line.count.box_id or moved.on != line.count.on):
            yield f"count line {line.pk}: movement {moved.pk} is of another batch, box or day"


def _may_be_less(line: CountLine) -> bool:
    """Whether it is of a stock-take, or some had gone out of its place on later days when it was counted."""
    if line.count.take_end_id is not None:
        return True
    later = Movement.objects.in_place(line.batch_id, line.count.box_id).filter(on__gt=line.count.on, bunches__lt=0)
    return line.counted < line.recorded and later.filter(recorded_at__lt=line.count.recorded_at).exists()


def _posted(line: CountLine) -> int:
    moved = line.movement
    if moved is None or not moved.stands:
        return 0
    more = found_by_count(moved) if moved.kind == Movement.Kind.FOUND else []
    return moved.bunches + sum(row.bunches for row in more)


def _takes() -> Iterable[str]:
    """Counts of a stock-take stand as its end does, and nothing is counted for one that is undone."""
    counts = StockCount.objects.filter(take_end__isnull=False).order_by("pk")
    both_undone = Q(undone_at__isnull=False, take_end__undone_at__isnull=False)
    strange = counts.exclude(Q(undone_at=None, take_end__undone_at=None) | both_undone)
    for pk in strange.values_list("pk", flat=True):
        yield f"count {pk}: does not stand as the end of its stock-take does"
    lost = TakeCounted.objects.standing().filter(take__undone_at__isnull=False).order_by("pk")
    for pk in lost.values_list("pk", flat=True):
        yield f"counted {pk}: its stock-take is undone"


def _repackings() -> Iterable[str]:
    """What goes out of boxes goes into others, batch by batch, and stands as the step does."""
    rows = RepackedRow.objects.order_by("repacking", "movement__batch")
    sums = rows.filter(repacking__undone_at__isnull=True).values_list("repacking", "movement__batch")
    for repacking, batch, bunches in sums.annotate(n=Sum("movement__bunches")).exclude(n=0):
        yield f"repacking {repacking}: {bunches:+d} of batch {batch} came from nowhere or went nowhere"
    as_it_stands = Q(repacking__undone_at=None, movement__undone_at=None) | Q(
        repacking__undone_at__isnull=False, movement__undone_at__isnull=False
    )
    right = as_it_stands & Q(movement__kind=Movement.Kind.MOVED, movement__on=F("repacking__on"))
    for repacking, movement in rows.exclude(right).values_list("repacking", "movement"):
        yield f"repacking {repacking}: movement {movement} does not stand as it does"
    for pk in Repacking.objects.standing().filter(rows=None).order_by("pk").values_list("pk", flat=True):
        yield f"repacking {pk}: moved nothing"
