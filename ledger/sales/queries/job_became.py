"""What became of a job, day by day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from ledger.sales.models import Job, JobAgreed
from ledger.stock.models import HoldChange

from .job_agreed import Agreed

NOT_BY_ITSELF = ("taken_for_work", "job_freed", "job_let_go")


@dataclass(frozen=True)
class Became:
    """One thing that was said or done: the day, in words, where to undo it (empty: not here), whether it was undone."""

    on: date
    says: str
    undo: str = ""
    undone: bool = False


def became_of(job: Any, agreed: Agreed, *, is_open: bool) -> list[Became]:
    """What was said and done of a job (with its standing) and of its holds, in order of day."""
    asked = Became(job.on, _("asked about"))
    found = [
        *_said_anew(job, is_open), *_agreed(agreed.agreed, is_open), *_replaced(agreed), *_kept(job, is_open), *_over(job)
    ]
    return sorted([asked, *found], key=lambda one: one.on)


def _to(name: str, pk: int, may: bool = True) -> str:
    return reverse(f"sales:{name}", args=[pk]) if may else ""


def _said_anew(job: Job, is_open: bool) -> Iterator[Became]:
    for one in job.said_anew.standing().order_by("on", "pk"):
        until = _(", quote good until %(on)s") % {"on": date_format(one.good_until)} if one.good_until else ""
        says = _("said anew, for %(on)s") % {"on": date_format(one.held_on)} + until
        yield Became(one.on, says, _to("undo_job_change", one.pk, is_open))


def _agreed(agreed: JobAgreed | None, is_open: bool) -> Iterator[Became]:
    if agreed:
        yield Became(agreed.on, _("agreed"), _to("undo_agreement", agreed.pk, is_open))


def _replaced(agreed: Agreed) -> Iterator[Became]:
    """Pieces left out or quoted otherwise before it was agreed, and what is otherwise since."""
    yield from (Became(one.on, str(one), undone=True) for one in agreed.before)
    yield from (Became(one.on, one.says) for one in agreed.since)


def _kept(job: Job, is_open: bool) -> Iterator[Became]:
    changes = HoldChange.objects.standing().filter(hold__job_hold__job=job).exclude(why=HoldChange.Why.USED)
    for one in changes.select_related("hold__line__variety__species", *NOT_BY_ITSELF).order_by("on", "pk"):
        word = _("kept") if one.why == HoldChange.Why.PROMISED else one.get_why_display()
        by_itself = not any(hasattr(one, name) for name in NOT_BY_ITSELF) and one.why != HoldChange.Why.SHORT
        yield Became(one.on, f"{word} {abs(one.bunches)}, {one.hold.line}", _to("undo_kept", one.pk, is_open and by_itself))


def _over(job: Job) -> Iterator[Became]:
    invoiced = job.invoices.exists()
    for done in job.doings.standing():
        yield Became(done.on, _("done"), _to("undo_job_done", done.pk, not invoiced))
    for one in job.cancellings.standing():
        why = f", {one.why}" if one.why else ""
        yield Became(one.on, _("cancelled") + why, _to("undo_cancelling", one.pk))
