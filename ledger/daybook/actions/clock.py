"""The verbs of the clock: started on a task, stopped into entries of work, or dropped."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject, User
from ledger.facts.queries import holding
from ledger.facts.writing import action, keep, refusal
from ledger.reckoning.hours import minutes_by_day

from ..models import Clock, ClockThing, WorkEntry, Worker
from ..queries import EQUALLY, can_be_spent_on, rate_in_force, shared_by
from .spent_on import check_spent_on, refuse_material
from .work import NO_MATERIAL, NO_RATE, note_work

LONGEST_RUN = timedelta(hours=24)


@action("work")
def start_clock(
    *, by: User, worker: Worker, task: str, spent_on: Sequence[CostObject], at: datetime | None = None
) -> Clock:
    """Let a worker's clock run on a task and on one or several things; `at` where it was not now."""
    worker = Worker.objects.select_for_update(no_key=True).get(pk=worker.pk)
    if worker.clocks.filter(stopped_at=None).exists():
        raise refusal("worker", _("A clock already runs for %(worker)s. Stop it first."), code="runs_already", worker=worker)
    started = _moment(at)
    if rate_in_force(worker, started.date()) is None:
        raise refusal("worker", NO_RATE, code="no_rate", worker=worker)
    shares = [(one, 1) for one in spent_on]
    check_spent_on(shares)
    refuse_material(shares, NO_MATERIAL)
    clock = keep(Clock(worker=worker, task=task, started_at=started))
    for one in spent_on:
        keep(ClockThing(clock=clock, spent_on=one))
    return clock


@action("work")
def stop_clock(
    *, by: User, worker: Worker, clock: Clock | None = None, at: datetime | None = None, shared: str = EQUALLY
) -> list[WorkEntry]:
    """Stop a worker's clock, now or `at` a moment; its whole minutes become entries, one a day.

    `clock`: the one that is meant, refused where another runs by now.
    """
    running = _running(worker, clock)
    stopped = _moment(at)
    if stopped < running.started_at:
        raise refusal("at", _("It was started only later."), code="too_early")
    if stopped - running.started_at > LONGEST_RUN:
        raise refusal("at", _("It ran for more than a day. Say when the work stopped, or drop it."), code="too_long")
    things = _still_there(running)
    started = running.started_at.astimezone(stopped.tzinfo)
    running.stopped_at = stopped
    keep(running)
    return [
        note_work(
            by=by, worker=running.worker, on=on, minutes=minutes, task=running.task, spent_on=shared_by(things, shared, on)
        )
        for on, minutes in minutes_by_day(started, stopped)
    ]


@action("work")
def drop_clock(*, by: User, worker: Worker, clock: Clock | None = None) -> Clock:
    """Stop a worker's clock without noting anything."""
    running = _running(worker, clock)
    running.stopped_at = max(timezone.now(), running.started_at)
    return keep(running)


def _moment(at: datetime | None) -> datetime:
    """A moment in the holding's time zone, this one unless said; refused where it has not come."""
    now = timezone.now()
    if at is not None and at > now:
        raise refusal("at", _("That moment has not come yet."), code="not_yet")
    return (at or now).astimezone(ZoneInfo(holding().time_zone))


def _running(worker: Worker, clock: Clock | None) -> Clock:
    """The clock that runs for a worker."""
    worker = Worker.objects.select_for_update(no_key=True).get(pk=worker.pk)
    running = worker.clocks.filter(stopped_at=None).first()
    if running is None or clock not in (None, running):
        raise refusal(None, _("That clock no longer runs: it was stopped or dropped."), code="not_running")
    return running


def _still_there(clock: Clock) -> list[CostObject]:
    """What the clock ran on; refused where some of it was undone meanwhile."""
    things = [one.spent_on for one in clock.things.select_related("spent_on")]
    kept = set(can_be_spent_on().filter(pk__in=[one.pk for one in things]).values_list("pk", flat=True))
    for one in things:
        if one.pk not in kept:
            message = _("%(what)s has been undone. Drop the clock and note the work anew.")
            raise refusal(None, message, code="undone", what=one.label)
    return things
