"""The verbs of hours noted: one entry, and a week on one sheet."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, keep, record, refusal

from ..models import WorkEntry, Worker, WorkShare
from ..queries import minutes_on, rate_in_force
from .spent_on import SpentOn, check_spent_on, refuse_material

MINUTES_OF_A_DAY = 24 * 60


@action("work")
def note_work(
    *, by: User, worker: Worker, on: date, minutes: int, task: str, spent_on: SpentOn, note: str = ""
) -> WorkEntry:
    """Note a worker's minutes on one day, on one or several things by weight."""
    worker = Worker.objects.select_for_update(no_key=True).get(pk=worker.pk)
    if rate_in_force(worker, on) is None:
        raise refusal("worker", _("%(worker)s has no rate on that day yet."), code="no_rate", worker=worker)
    noted = minutes_on(worker, on)
    if noted + minutes > MINUTES_OF_A_DAY:
        raise refusal(
            "minutes", _("%(noted)d minutes are already noted for that day; a day has 1440."), code="too_long", noted=noted
        )
    check_spent_on(spent_on)
    refuse_material(spent_on, _("Time is noted on what was worked on, not on a material."))
    entry = record(WorkEntry(worker=worker, on=on, minutes=minutes, task=task, note=note), by=by)
    for one, weight in spent_on:
        keep(WorkShare(entry=entry, spent_on=one, weight=weight))
    return entry


@action("work")
def undo_work(*, by: User, entry: WorkEntry) -> WorkEntry:
    """Undo hours noted."""
    return undo_within(entry, by=by)
