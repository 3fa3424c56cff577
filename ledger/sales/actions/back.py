"""What came back from a stall day, put away in one step."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from ledger.drying.actions import hang, undo_hanging
from ledger.drying.models import Hanging, Place
from ledger.facts.actions import undo_within
from ledger.facts.models import Amendment, User
from ledger.facts.writing import action, keep, mark_undone, record, refusal, require_standing
from ledger.growing.actions import throw_out, undo_parting
from ledger.growing.models import Lot, Parting
from ledger.sales.models import StallBack, StallBackRow, StallDay
from ledger.sales.queries.late import found_late
from ledger.sales.queries.loading import boxes_of
from ledger.stock.actions import count_boxes, lock_lines, move_box, posted_by, undo_movement, unpost, write_off
from ledger.stock.models import Batch, Box, CountLine, Movement, StockCount

SHELF = "shelf of box "


@dataclass(frozen=True)
class BackBunches:
    """Bunches of a batch that came back in a box, and how many of those are thrown out."""

    batch: Batch
    back: int
    thrown: int = 0


@dataclass(frozen=True)
class BackBox:
    """A box that came back: what was counted in it, and the shelf it goes on (None: where it stood)."""

    box: Box
    counted: Sequence[BackBunches] = ()
    shelf: str | None = None


@dataclass(frozen=True)
class BackStems:
    """Stems of a lot that came back: so many hung, taking so much room, so many thrown out; the rest stays in water."""

    lot: Lot
    hung: int = 0
    room: int = 1
    thrown: int = 0


@action("selling")
def bring_back(
    *, by: User, on: date, stall_day: StallDay, boxes: Sequence[BackBox] = (), stems: Sequence[BackStems] = (),
    place: Place | None = None, why: str = "",
) -> StallBack:
    """Put away what came back from a stall day: boxes counted, damaged bunches and stems thrown out, stems hung in a place.

    `why`: why anything was thrown out. What was counted less than recorded is
    written off, what was more is found, as by a count of that box.
    """
    stall_day = StallDay.objects.lock(stall_day)
    require_standing(stall_day, "stall_day")
    _check(stall_day, on, boxes, stems, place, why)
    back = record(StallBack(on=on, stall_day=stall_day), by=by)
    for one in sorted(stems, key=lambda one: one.lot.pk):
        _put_stems_away(by, back, one, place, why)
    _put_boxes_away(by, back, boxes, why)
    return back


def _check(
    day: StallDay, on: date, boxes: Sequence[BackBox], stems: Sequence[BackStems], place: Place | None, why: str
) -> None:
    if on < day.on:
        raise refusal("on", _("That stall day was on %(on)s."), code="too_early", on=day.on)
    if day.backs.filter(undone_at=None).exists():
        raise refusal(None, _("What came back is put away already; undo that to do it anew."), code="back_already")
    loaded = boxes_of(day)
    for one in boxes:
        if one.box not in loaded:
            raise refusal(None, _("Box %(box)s was not loaded for it."), code="not_loaded", box=one.box)
        for row in one.counted:
            _check_row(row)
    if place is None and any(one.hung for one in stems):
        raise refusal("place", _("Say where the stems are hung."), code="no_place")
    if not why.strip() and _anything_thrown(boxes, stems):
        raise refusal("why", _("Say why it was thrown out."), code="no_reason")


def _check_row(row: BackBunches) -> None:
    if row.back < 0 or row.thrown < 0:
        raise refusal(None, _("A count cannot be below zero."), code="negative")
    if row.thrown > row.back:
        raise refusal(
            None, _("%(thrown)d of %(line)s cannot be thrown out of %(back)d that came back."), code="more_thrown_than_back",
            thrown=row.thrown, back=row.back, line=row.batch.line,
        )


def _anything_thrown(boxes: Sequence[BackBox], stems: Sequence[BackStems]) -> bool:
    return any(one.thrown for one in stems) or any(row.thrown for one in boxes for row in one.counted)


def _put_stems_away(by: User, back: StallBack, stems: BackStems, place: Place | None, why: str) -> None:
    if stems.hung and place is not None:
        hanging = hang(by=by, lot=stems.lot, on=back.on, place=place, stems=stems.hung, room=stems.room)
        keep(StallBackRow(back=back, parting=hanging.parting))
    if stems.thrown:
        keep(StallBackRow(back=back, parting=throw_out(by=by, lot=stems.lot, on=back.on, stems=stems.thrown, why=why)))


def _put_boxes_away(by: User, back: StallBack, boxes: Sequence[BackBox], why: str) -> None:
    """Count them all in one, so that what lies in the wrong box is not missing; then what is thrown out, and the shelves."""
    counted = {one.box: {row.batch: row.back for row in one.counted} for one in boxes if one.counted}
    note = str(_("back from %(day)s")) % {"day": back.stall_day}
    for count in count_boxes(by=by, on=back.on, counted=counted, note=note[:200]):
        keep(StallBackRow(back=back, count=count))
    for one in sorted(boxes, key=lambda one: one.box.pk):
        for row in one.counted:
            if row.thrown:
                gone = write_off(by=by, on=back.on, batch=row.batch, box=one.box, bunches=row.thrown, reason=why)
                keep(StallBackRow(back=back, movement=gone))
        if one.shelf is not None:
            _put_on_shelf(by, back, one.box, one.shelf)


def _put_on_shelf(by: User, back: StallBack, box: Box, shelf: str) -> None:
    """Put a box on its shelf and note where it stood, so that it can be put there again."""
    stood = Box.objects.select_for_update(no_key=True).get(pk=box.pk).shelf
    if stood == shelf:
        return
    move_box(by=by, box=box, shelf=shelf)
    keep(Amendment(
        model=StallBack._meta.label, record_pk=str(back.pk), field=f"{SHELF}{box.pk}", before=stood, after=shelf, by=by,
        at=timezone.now(),
    ))


@action("selling")
def undo_bring_back(*, by: User, stall_back: StallBack) -> StallBack:
    """Undo what was put away: counts and write-offs are undone, stems are in water again, boxes stand where they stood.

    A box that was put elsewhere since stays there. What was sold that day and entered since stays sold; what was missing
    for it is neither missing nor found. Refused where something rests on it: stems taken down since, a later count.
    """
    rows = list(stall_back.rows.select_related("count", "movement__batch__line", "parting__lot").order_by("-pk"))
    lines = CountLine.objects.filter(count__stall_back_row__back=stall_back)
    _lock_lots(row.parting.lot_id for row in rows if row.parting)
    lock_lines([
        *(row.movement.batch.line_id for row in rows if row.movement), *lines.values_list("batch__line", flat=True),
    ])
    late = found_late(stall_back)
    undone = mark_undone(StallBack.objects.lock(stall_back), by=by)
    for row in rows:
        _undo_row(by, row)
    _undo_counts(by, [row.count for row in rows if row.count], lines, late)
    _put_back_on_shelves(by, undone)
    return undone


def _lock_lots(lots: Iterable[int]) -> None:
    for lot in sorted(set(lots)):
        Lot.objects.select_for_update(no_key=True).get(pk=lot)


def _undo_row(by: User, row: StallBackRow) -> None:
    if row.movement is not None:
        undo_movement(by=by, movement=row.movement)
    if row.parting is not None and row.parting.way == Parting.Way.HUNG:
        undo_hanging(by=by, hanging=Hanging.objects.standing().get(parting=row.parting, moved_from=None))
    elif row.parting is not None:
        undo_parting(by=by, parting=row.parting)


def _undo_counts(by: User, counts: Sequence[StockCount], lines: QuerySet[CountLine], late: Sequence[Movement]) -> None:
    """Take what the counts put right out of the book as one, with what was found of it for sales entered late."""
    for count in counts:
        undo_within(count, by=by)
    counted = posted_by(lines.exclude(movement=None).select_related("movement__batch", "movement__box"))
    if counted:
        unpost(by=by, movements=[*late, *counted])


def _put_back_on_shelves(by: User, back: StallBack) -> None:
    moved = Amendment.objects.filter(model=StallBack._meta.label, record_pk=str(back.pk), field__startswith=SHELF)
    for one in moved.order_by("pk"):
        box = Box.objects.select_for_update(no_key=True).get(pk=int(one.field.removeprefix(SHELF)))
        if box.shelf == one.after:
            move_box(by=by, box=box, shelf=one.before)
