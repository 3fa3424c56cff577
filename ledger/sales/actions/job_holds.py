"""Bunches kept for a job, from months ahead if need be, and freed again."""

from __future__ import annotations

from datetime import date

from django.db.models import Q, Sum
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, refusal
from ledger.sales.models import Job, JobHold
from ledger.sales.queries.job_needs import bunches_to_keep
from ledger.stock.actions import fill_again, give_up, hold, hold_more, lock_lines, release, undo_hold_changes
from ledger.stock.models import Hold, HoldChange, Line
from ledger.stock.queries import lowest_free
from ledger.stock.queries.seasons import lowest_free_of_season

from .jobs import lock_job, lock_open_job, require_open


@action("selling")
def keep_for_job(*, by: User, job: Job, on: date, line: Line, bunches: int, season: int | None = None) -> JobHold:
    """Keep bunches of a line for a job (of one season only, where asked), as many as are free; more on what is kept already.

    What its hold was left short of is filled again first.
    """
    job = lock_open_job(job, on)
    lock_lines([line])
    if bunches < 1:
        raise refusal("bunches", _("Give at least one."), code="too_few")
    kept = JobHold.objects.select_related("hold__line").filter(job=job, line=line).first()
    if kept is None or not kept.hold.changes.standing().exists():
        return _kept_first(by, job, on, line, bunches, season, kept)
    if season != kept.hold.season:
        raise refusal("season", _("What is kept of it already was kept otherwise. Free that first."), code="other_season")
    _keep_more(by, kept.hold, on, bunches)
    return kept


def _kept_first(
    by: User, job: Job, on: date, line: Line, bunches: int, season: int | None, empty: JobHold | None
) -> JobHold:
    """A new hold; in the place of one of which all was undone."""
    made = hold(by=by, on=on, line=line, bunches=bunches, for_what=str(job)[:120], season=season)
    if empty is None:
        return keep(JobHold(job=job, line=line, hold=made))
    before, empty.hold = empty.hold, made
    keep(empty)
    mark_undone(Hold.objects.lock(before), by=by)
    return empty


def _keep_more(by: User, kept: Hold, on: date, bunches: int) -> None:
    again = min(bunches, Hold.objects.with_short().get(pk=kept.pk).short)
    if again:
        fill_again(by=by, hold=kept, on=on, bunches=again)
    if bunches > again:
        hold_more(by=by, hold=kept, on=on, bunches=bunches - again)


@action("selling")
def keep_all_for_job(*, by: User, job: Job, on: date, what_is_free: bool = True) -> list[JobHold]:
    """Keep what its pieces need of each line and is not kept or taken yet; `what_is_free`: as much of it as is free."""
    job = lock_open_job(job, on)
    needed = bunches_to_keep(job)
    lock_lines(needed)
    kept = []
    for line, bunches in needed.items():
        season = JobHold.objects.filter(job=job, line=line).values_list("hold__season", flat=True).first()
        wanted = min(bunches, _free(line, season, on)) if what_is_free else bunches
        if wanted:
            kept.append(keep_for_job(by=by, job=job, on=on, line=line, bunches=wanted, season=season))
    if not kept:
        raise refusal(None, _("Nothing its pieces need is free and not kept already."), code="nothing_to_keep")
    return kept


def _free(line: Line, season: int | None, on: date) -> int:
    """Bunches free from that day on, of one season where asked."""
    of_season = [] if season is None else [lowest_free_of_season(line, season, on)]
    return max(min([lowest_free(line, on), *of_season]), 0)


@action("selling")
def free_from_job(*, by: User, job_hold: JobHold, on: date, bunches: int) -> JobHold:
    """Free bunches that were kept for a job for anybody; beyond those, owe no more what its hold was left short of."""
    lock_job(job_hold.job, on)
    lock_lines([job_hold.line_id])
    now = Hold.objects.with_kept().with_short().get(pk=job_hold.hold_id)
    if bunches > now.kept + now.short:
        raise refusal("bunches", _("It keeps only %(kept)d."), code="too_many", kept=now.kept)
    freed = min(bunches, now.kept)
    if freed or bunches < 1:
        release(by=by, hold=job_hold.hold, on=on, bunches=freed)
    if bunches > freed:
        give_up(by=by, hold=job_hold.hold, on=on, bunches=bunches - freed)
    return job_hold


@action("selling")
def undo_kept(*, by: User, change: HoldChange) -> HoldChange:
    """Undo a keeping or a freeing of a job's hold; where it owed no more what was short, it is short of it again."""
    job = lock_job(JobHold.objects.select_related("job").get(hold=change.hold).job)
    parts = ("taken_for_work", "job_freed", "job_let_go")
    whys = {HoldChange.Why.PROMISED, HoldChange.Why.REFILLED, HoldChange.Why.RELEASED}
    if change.why not in whys or any(hasattr(change, part) for part in parts):
        raise refusal(None, _("That is part of a taking, or of the job's end. Undo that instead."), code="part_of_more")
    if change.bunches < 0:
        require_open(job)
    return undo_hold_changes(by=by, changes=[*_given_up_with(change), change])[-1]


def _given_up_with(change: HoldChange) -> list[HoldChange]:
    """What counted as filled again as a promise left short was given up: the change directly after, of as many.

    A giving back gave up what was short where less than that was kept just before it.
    """
    if _kept_before(change) >= -change.bunches:
        return []
    after = change.hold.changes.standing().filter(pk__gt=change.pk).order_by("pk").first()
    alike = after and (after.why, after.on, after.bunches) == (HoldChange.Why.REFILLED, change.on, -change.bunches)
    return [after] if after and alike else []


def _kept_before(change: HoldChange) -> int:
    """Bunches its hold kept just before a change, as was known then."""
    stood_then = Q(undone_at__isnull=True) | Q(undone_at__gt=change.recorded_at)
    return change.hold.changes.filter(stood_then, pk__lt=change.pk).aggregate(n=Sum("bunches"))["n"] or 0
