"""What there is on a day and on every later one: in a place, of a line, kept by a hold; and which rows belong together."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from itertools import accumulate
from typing import TYPE_CHECKING, Any

from django.db.models import DateField, QuerySet, Sum, Value
from django.db.models.functions import Coalesce

from .sets import ContentQuerySet, DayChange, rows_of

if TYPE_CHECKING:
    from ledger.stock.models import Batch, Box, CountLine, HeldBack, Hold, HoldChange, Line, Movement


def lowest_from(changes: Iterable[DayChange], on: date) -> int:
    """The lowest running sum at the end of `on` or of any later day; several changes of a day count as one."""
    days: dict[date, int] = {on: 0}
    for day, change in changes:
        days[max(day, on)] = days.get(max(day, on), 0) + change
    return min(accumulate(days[day] for day in sorted(days)))


def lowest_in_place(batch_pk: int, box_pk: int | None, on: date) -> int:
    """The fewest bunches of a batch in a box on `on` or any later day."""
    return lowest_from(rows_of("Movement").standing().in_place(batch_pk, box_pk).by_day(), on)


def lowest_free(line: Line, on: date) -> int:
    """The fewest bunches of a line that nobody is promised on `on` or any later day, boxes held back left out."""
    moved, kept = _moved_and_kept(line)
    return lowest_from(moved.union(kept, _held_back(line, on), all=True), on)


def lowest_unpromised(line: Line, on: date) -> int:
    """The fewest bunches of a line that nobody is promised on `on` or any later day, wherever they lie."""
    moved, kept = _moved_and_kept(line)
    return lowest_from(moved.union(kept, all=True), on)


def _moved_and_kept(line: Line) -> tuple[QuerySet[Any], QuerySet[Any]]:
    """What came (+) and went (-) of a line each day, and what was given back (+) and promised (-), wherever it lies."""
    moved = rows_of("Movement").standing().filter(batch__line=line).exclude(kind="moved").order_by()
    kept = rows_of("HoldChange").standing().filter(hold__line=line).order_by()
    return moved.values_list("on").annotate(n=Sum("bunches")), kept.values_list("on").annotate(n=-Sum("bunches"))


def _held_back(line: Line, on: date) -> QuerySet[Any]:
    """Bunches of a line that lie now in boxes held back on that day (-), as one row of that day."""
    boxes = rows_of("HeldBack").in_force(on).values("box")
    lying = rows_of("Content").filter(batch__line=line, box__in=boxes).order_by()
    return lying.annotate(day=Value(on, DateField())).values_list("day").annotate(n=Coalesce(-Sum("bunches"), 0))


def held_back_by(box: Box, on: date) -> HeldBack | None:
    """What holds a box back that day, None where nothing does."""
    return box.held_backs.in_force(on).order_by("-on", "-pk").first()


def lowest_kept(hold: Hold, on: date) -> int:
    """The fewest bunches a hold keeps on `on` or any later day."""
    return lowest_from(hold.changes.standing().values_list("on", "bunches"), on)


def there_on(box: Box | None, on: date) -> dict[int, int]:
    """What the record says is in a box (None: not yet boxed) at the end of a day: bunches by the batch's key, nil left out."""
    rows = rows_of("Movement").standing_on(on).filter(box=box).order_by("batch").values_list("batch")
    return {batch: n for batch, n in rows.annotate(n=Sum("bunches")) if n}


def shortages_of(batch: Batch, on: date) -> list[tuple[Movement, int]]:
    """What counts up to that day wrote off of a batch and nothing has brought back yet, the last first."""
    rows = rows_of("Movement").standing_on(on).filter(batch=batch, kind="written_off", count_line__isnull=False)
    rows = rows.with_brought_back().order_by("-on", "-pk")
    return [(row, -row.bunches - row.brought_back) for row in rows if -row.bunches > row.brought_back]


def pair_of(movement: Movement) -> Movement | None:
    """The other row of a move: rows of one line are written one after another, out first."""
    rows = rows_of("Movement").filter(batch=movement.batch, kind="moved")
    if movement.bunches < 0:
        return rows.filter(pk__gt=movement.pk).order_by("pk").first()
    return rows.filter(pk__lt=movement.pk).order_by("-pk").first()


def found_for(sold: Movement) -> list[Movement]:
    """What a sale or rework beyond the record found first: the standing rows directly before it in the same place."""
    before = rows_of("Movement").in_place(sold.batch_id, sold.box_id).filter(pk__lt=sold.pk).order_by("-pk")
    return _run_of(before, lambda row: row.kind == "found" and row.to_check and row.on == sold.on and row.stands)


def left_short_by(movements: Iterable[Movement], line_pk: int) -> list[HoldChange]:
    """The promises of a line left short when these rows were posted.

    A line's rows are written one post after another, its shortages before the
    rows that caused them: those since the post before.
    """
    first = min(row.recorded_at for row in movements)
    earlier = rows_of("Movement").filter(batch__line=line_pk, recorded_at__lt=first).order_by("-recorded_at").first()
    shorts = rows_of("HoldChange").standing().filter(hold__line=line_pk, why="short", recorded_at__lte=first)
    return list(shorts.filter(recorded_at__gt=earlier.recorded_at) if earlier else shorts)


def found_by_count(first: Movement) -> list[Movement]:
    """The rows a count line wrote beside its first: those directly after it, for the same reason, that no count line names."""
    after = rows_of("Movement").in_place(first.batch_id, first.box_id).filter(pk__gt=first.pk).order_by("pk")
    alike = ("found", False, first.on, first.reason)
    return _run_of(
        after.select_related("count_line"),
        lambda row: (row.kind, row.to_check, row.on, row.reason) == alike and not hasattr(row, "count_line"),
    )


def still_out(movement: Movement) -> int:
    """How many of what went out by a row have not been brought back."""
    back = rows_of("Movement").standing().filter(brings_back=movement).aggregate(n=Sum("bunches"))["n"] or 0
    return int(-movement.bunches - back)


def put_right_by(line: CountLine) -> list[Movement]:
    """Every row a count line wrote, in order; none where it agreed."""
    first = line.movement
    if first is None:
        return []
    return [first, *(found_by_count(first) if first.kind == "found" else [])]


def _run_of(rows: Iterable[Movement], belongs: Callable[[Movement], bool]) -> list[Movement]:
    found: list[Movement] = []
    for row in rows:
        if not belongs(row):
            break
        found.append(row)
    return found


def where_is(line: Line) -> ContentQuerySet:
    """All the places of a line now."""
    return rows_of("Content").there().filter(batch__line=line)


def lines_in(box: Box) -> list[int]:
    """The keys of the lines of which something lies in a box now."""
    return list(rows_of("Content").filter(box=box, bunches__gt=0).values_list("batch__line", flat=True).distinct())
