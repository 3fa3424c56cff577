"""The verbs of hours noted: one entry, and a week on one sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, keep, record, refusal

from ..models import WorkEntry, Worker, WorkShare
from ..queries import minutes_on, rate_in_force
from .spent_on import SpentOn, check_spent_on, refuse_material

MINUTES_OF_A_DAY = 24 * 60
NO_RATE = _("%(worker)s has no rate on that day yet.")
NO_MATERIAL = _("Time is noted on what was worked on, not on a material.")


@dataclass(frozen=True)
class Hours:
    """Minutes of one day at one task, on one or several things by weight; `row` names them on a sheet."""

    on: date
    minutes: int
    task: str
    spent_on: SpentOn
    row: str = ""


@action("work")
def note_work(
    *, by: User, worker: Worker, on: date, minutes: int, task: str, spent_on: SpentOn, note: str = ""
) -> WorkEntry:
    """Note a worker's minutes on one day, on one or several things by weight."""
    worker = Worker.objects.select_for_update(no_key=True).get(pk=worker.pk)
    if rate_in_force(worker, on) is None:
        raise refusal("worker", NO_RATE, code="no_rate", worker=worker)
    noted = minutes_on(worker, on)
    if noted + minutes > MINUTES_OF_A_DAY:
        raise refusal(
            "minutes", _("%(noted)d minutes are already noted for that day; a day has 1440."), code="too_long", noted=noted
        )
    check_spent_on(spent_on)
    refuse_material(spent_on, NO_MATERIAL)
    entry = record(WorkEntry(worker=worker, on=on, minutes=minutes, task=task, note=note), by=by)
    for one, weight in spent_on:
        keep(WorkShare(entry=entry, spent_on=one, weight=weight))
    return entry


@action("work")
def note_week(*, by: User, worker: Worker, hours: Sequence[Hours]) -> list[WorkEntry]:
    """Note a worker's hours of several days at once, all or none; a refusal names the row and the day at fault."""
    if not hours:
        raise refusal(None, _("Fill in some minutes."), code="nothing_noted")
    return [_of_week(by, worker, one) for one in hours]


def _of_week(by: User, worker: Worker, hours: Hours) -> WorkEntry:
    try:
        return note_work(
            by=by, worker=worker, on=hours.on, minutes=hours.minutes, task=hours.task, spent_on=hours.spent_on
        )
    except ValidationError as error:
        raise ValidationError(_at(error, hours)) from error


def _at(error: ValidationError, hours: Hours) -> dict[str, list[ValidationError]]:
    """The refusal with what it is about: the worker as a whole, the row's things or task, or the row's day."""
    of_the_row = {"worker": "worker", "spent_on": f"spent_on_{hours.row}", "task": f"task_{hours.row}"}
    named: dict[str, list[ValidationError]] = {}
    for field, errors in error.error_dict.items():
        named.setdefault(of_the_row.get(field, f"minutes_{hours.row}_{hours.on.weekday()}"), []).extend(errors)
    return named


@action("work")
def undo_work(*, by: User, entry: WorkEntry) -> WorkEntry:
    """Undo hours noted."""
    return undo_within(entry, by=by)
