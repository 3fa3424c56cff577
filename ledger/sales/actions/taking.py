"""Bunches and fresh stems taken for a job or a workshop, and what of them comes back."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, record, refusal, require_standing
from ledger.growing.actions import part
from ledger.growing.models import Lot, Parting
from ledger.sales.models import CameBack, CameBackRow, Job, JobFreed, JobHold, JobLetGo, Taken, TakenRow, Workshop
from ledger.sales.queries.taken import rows_out
from ledger.stock.actions import lock_lines, sell_bunches, take_back, undo_hold_changes, undo_movement, use_hold
from ledger.stock.models import Batch, Box, Content, Hold, HoldChange, Line, Movement
from ledger.stock.queries.picking import taken_from
from ledger.stock.queries.seasons import made_in

from .ending import give_all_up
from .retail import MOST


@action("packing")
def take_bunches_for(
    *, by: User, work: Job | Workshop, on: date, line: Line, bunches: int, box: Box | None = None, batch: Batch | None = None
) -> Taken:
    """Take bunches of a line for a job or a workshop, the oldest first; they leave the stock as sold.

    What a job's hold keeps of them is used first. It happened: promised bunches go too, and what the record lacks is
    posted as found, to be checked.
    """
    _require_some(bunches, "bunches")
    _require_shelf(box)
    work = _open(work, on)
    lock_lines([line])
    kept = _kept_for(work, line)
    used = use_hold(by=by, hold=kept, on=max(on, kept.on), bunches=bunches) if kept else None
    sold: list[Movement] = []
    for one, where, number in [*_sources(line, on, bunches, box, batch, kept.season if kept else None)]:
        sold += sell_bunches(by=by, on=on, line=line, bunches=number, box=where, batch=one, beyond_record=True)
    taken = record(Taken(**_of(work), on=on, line=line, quantity=bunches, used=used), by=by)
    for movement in sold:
        keep(TakenRow(taken=taken, movement=movement))
    return taken


@action("packing")
def take_stems_for(*, by: User, work: Job | Workshop, on: date, lot: Lot, stems: int) -> Taken:
    """Take fresh stems of a lot for a job or a workshop; never more than are left of it, whatever the dates."""
    _require_some(stems, "stems")
    work = _open(work, on)
    return _take_stems(by, work, on, lot, stems)


def _take_stems(by: User, work: Job | Workshop, on: date, lot: Lot, stems: int, replaces: Taken | None = None) -> Taken:
    parting = part(by=by, lot=lot, on=on, way=Parting.Way.SOLD_FRESH, stems=stems)
    return record(Taken(**_of(work), on=on, parting=parting, quantity=stems), by=by, replaces=replaces)


def _of(work: Job | Workshop) -> dict[str, Any]:
    return {"job" if isinstance(work, Job) else "workshop": work}


def _require_some(number: int, field: str) -> None:
    if not 1 <= number <= MOST:
        raise refusal(field, _("Between 1 and %(most)d, please."), code="absurd", most=MOST)


def _require_shelf(box: Box | None) -> None:
    if box is not None and box.parcel:
        raise refusal("box", _("Box %(box)s is packed for an order."), code="parcel", box=box)


def _open(work: Job | Workshop, on: date) -> Job | Workshop:
    """The work as it stands now, locked; refused before its day and once it was cancelled or called off."""
    work = lock_work(work)
    require_standing(work)
    if on < work.on:
        raise refusal("on", _("It was entered only for %(on)s."), code="too_early", on=work.on)
    if isinstance(work, Job) and work.cancellings.standing().exists():
        raise refusal(None, _("That job is cancelled. Undo that first, if it took place after all."), code="job_over")
    if isinstance(work, Workshop) and work.called_off.standing().exists():
        raise refusal(None, _("That workshop is called off. Undo that first, if it took place after all."), code="called_off")
    return work


def lock_work(work: Job | Workshop) -> Job | Workshop:
    """The job or the workshop as it stands now, locked."""
    return Job.objects.lock(work) if isinstance(work, Job) else Workshop.objects.lock(work)


def _kept_for(work: Job | Workshop, line: Line) -> Hold | None:
    """The job's own hold of a line, None where it has none; one made for a later day is used from that day on."""
    if not isinstance(work, Job):
        return None
    own = JobHold.objects.filter(job=work, line=line, hold__undone_at=None).select_related("hold__line").first()
    return own.hold if own else None


def _sources(
    line: Line, on: date, bunches: int, box: Box | None, batch: Batch | None, season: int | None
) -> Iterator[tuple[Batch | None, Box | None, int]]:
    """Where bunches come from: as said, else those of the season kept first, and the rest wherever a sale would take them."""
    if season is not None and box is None and batch is None:
        places = Content.objects.there().filter(made_in(season), batch__line=line, batch__on__lte=on)
        free = places.out_of_parcels().not_held_back(on).select_related("batch", "box")
        for place, number in taken_from(free, on, bunches, {}).items():
            yield place.batch, place.box, number
            bunches -= number
    if bunches:
        yield batch, box, bunches


@action("packing")
def undo_taken(*, by: User, taken: Taken) -> Taken:
    """Undo a taking of which nothing came back: bunches are where they were and kept as before, stems are in water again."""
    lock_work(taken.work)
    lock_lines([taken.line] if taken.line else [])
    taken = mark_undone(Taken.objects.lock(taken), by=by)
    if taken.parting is not None:
        undo_within(taken.parting, by=by)
    for row in taken.rows.select_related("movement__batch").order_by("-pk"):
        undo_movement(by=by, movement=row.movement)
    changes = _used(taken)
    if changes:
        undo_hold_changes(by=by, changes=changes)
        _free_if_over(by, taken.job, changes[0].hold)
    return taken


def _free_if_over(by: User, job: Job | None, hold: Hold) -> None:
    """For a job that is done or cancelled let go what is kept again and owe no more what is short again, as its end would."""
    assert job is not None
    done, cancelled = job.doings.standing().first(), job.cancellings.standing().first()
    end = done or cancelled
    for freed in give_all_up(by, hold, end.on) if end else ():
        keep(JobLetGo(done=done, change=freed) if done else JobFreed(cancelled=cancelled, change=freed))


def _used(taken: Taken) -> list[HoldChange]:
    """What a taking used of its hold, the last first: recorded from its first change on, before the taking itself."""
    if taken.used is None:
        return []
    its = taken.used.hold.changes.standing().filter(pk__gte=taken.used.pk, recorded_at__lte=taken.recorded_at)
    return list(its.select_related("hold__line").order_by("-pk"))


@action("packing")
def bring_bunches_back(*, by: User, taken: Taken, on: date, bunches: int, box: Box | None = None) -> CameBack:
    """Put bunches taken for a job or a workshop back into a box (None: not yet boxed), those taken last first."""
    _require_some(bunches, "bunches")
    _require_shelf(box)
    taken = _still_taken(taken)
    if taken.line is None:
        raise refusal(None, _("Those were fresh stems. Say how many of them came back."), code="fresh")
    lock_lines([taken.line])
    rows = rows_out(taken)
    out = sum(left for _movement, left in rows)
    if bunches > out:
        raise refusal("bunches", _("Only %(out)d of them are still out."), code="too_many", out=out)
    back = record(CameBack(on=on, taken=taken, quantity=bunches), by=by)
    for movement, left in rows:
        number = min(left, bunches)
        if number:
            keep(CameBackRow(came_back=back, movement=take_back(by=by, on=on, movement=movement, bunches=number, box=box)))
        bunches -= number
    return back


def _still_taken(taken: Taken) -> Taken:
    lock_work(taken.work)
    taken = Taken.objects.lock(taken)
    require_standing(taken)
    return taken


@action("packing")
def undo_came_back(*, by: User, came_back: CameBack) -> CameBack:
    """Undo a coming back: the bunches are out again, refused where they are promised or gone since."""
    lock_work(came_back.taken.work)
    lock_lines([came_back.taken.line] if came_back.taken.line else [])
    came_back = mark_undone(CameBack.objects.lock(came_back), by=by)
    for row in came_back.rows.select_related("movement__batch").order_by("-pk"):
        undo_movement(by=by, movement=row.movement)
    return came_back


@action("packing")
def bring_stems_back(*, by: User, taken: Taken, stems: int) -> Taken:
    """Put fresh stems back in water: the taking is undone and entered anew with fewer; where all came back it stays undone."""
    _require_some(stems, "stems")
    taken = _still_taken(taken)
    if taken.parting is None:
        raise refusal(None, _("Those were bunches. Say how many of them came back."), code="dried")
    if stems > taken.quantity:
        raise refusal("stems", _("Only %(out)d of them are still out."), code="too_many", out=taken.quantity)
    lot, left = taken.parting.lot, taken.quantity - stems
    undone = undo_taken(by=by, taken=taken)
    return _take_stems(by, undone.work, undone.on, lot, left, replaces=undone) if left else undone
