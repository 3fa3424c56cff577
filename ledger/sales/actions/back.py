"""What came back from a stall day, put away in one step."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.drying.actions import hang, undo_hanging
from ledger.drying.models import Hanging, Place
from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, record, refusal, require_standing
from ledger.growing.actions import throw_out, undo_parting
from ledger.growing.models import Lot, Parting
from ledger.sales.models import StallBack, StallBackRow, StallDay
from ledger.sales.queries.loading import boxes_of
from ledger.stock.actions import count_box, lock_lines, move_box, undo_count, undo_movement, write_off
from ledger.stock.models import Batch, Box


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
    lock_lines(row.batch.line_id for one in boxes for row in one.counted)
    for box in sorted(boxes, key=lambda one: one.box.pk):
        _put_box_away(by, back, box, why)
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


def _put_box_away(by: User, back: StallBack, one: BackBox, why: str) -> None:
    if one.counted:
        note = str(_("back from %(day)s")) % {"day": back.stall_day}
        counted = {row.batch: row.back for row in one.counted}
        keep(StallBackRow(back=back, count=count_box(by=by, on=back.on, box=one.box, counted=counted, note=note[:200])))
    for row in one.counted:
        if row.thrown:
            gone = write_off(by=by, on=back.on, batch=row.batch, box=one.box, bunches=row.thrown, reason=why)
            keep(StallBackRow(back=back, movement=gone))
    if one.shelf is not None and one.shelf != one.box.shelf:
        move_box(by=by, box=one.box, shelf=one.shelf)


@action("selling")
def undo_bring_back(*, by: User, stall_back: StallBack) -> StallBack:
    """Undo what was put away: counts and write-offs are undone, stems are in water again; boxes stay on their shelves.

    Refused where something rests on it: stems taken down since, a later count.
    """
    rows = list(stall_back.rows.select_related("count", "movement__batch__line", "parting__lot").order_by("-pk"))
    _lock_lots(row.parting.lot_id for row in rows if row.parting)
    lock_lines([row.movement.batch.line_id for row in rows if row.movement])
    undone = mark_undone(StallBack.objects.lock(stall_back), by=by)
    for row in rows:
        _undo_row(by, row)
    return undone


def _lock_lots(lots: Iterable[int]) -> None:
    for lot in sorted(set(lots)):
        Lot.objects.select_for_update(no_key=True).get(pk=lot)


def _undo_row(by: User, row: StallBackRow) -> None:
    if row.count is not None:
        undo_count(by=by, count=row.count)
    if row.movement is not None:
        undo_movement(by=by, movement=row.movement)
    if row.parting is not None and row.parting.way == Parting.Way.HUNG:
        undo_hanging(by=by, hanging=Hanging.objects.standing().get(parting=row.parting, moved_from=None))
    elif row.parting is not None:
        undo_parting(by=by, parting=row.parting)
