"""What of a job or workshop that is over is not entered yet, so that what it left is too much."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import F, Q, Sum
from django.utils.translation import gettext as _

from ledger.costing.queries import book
from ledger.reckoning.book import Key
from ledger.sales.models import Job, JobDone, JobPiece, PiecePart, Workshop, WorkshopHeld

from .market_days import minutes_on

NAMED = 4


@dataclass(frozen=True)
class Missing:
    """What a job done or a workshop held lacks: any hour, of `planned` minutes (nil: no plan says how many), and `things`.

    `things`: what was to be used or bought in, of which nothing is entered; empty where something is.
    """

    hours: bool
    planned: int = 0
    things: Sequence[str] = ()

    @property
    def says(self) -> list[str]:
        """What is missing and what would do, a sentence each."""
        said = []
        if self.hours and self.planned:
            says = _("%(hours)s hours are planned and none noted: note the work, or what was left is too much.")
            said.append(says % {"hours": f"{self.planned / 60:.1f}"})
        elif self.hours:
            said.append(_("No hours are noted: note the work, or what was left is too much."))
        if self.things:
            says = _("To be used or bought in, and nothing of it entered: %(things)s. Enter it, or what was left is too much.")
            said.append(says % {"things": _named(self.things)})
        return said


def _named(things: Sequence[str]) -> str:
    more = len(things) - NAMED
    return ", ".join(things[:NAMED]) + (_(" and %(n)d more") % {"n": more} if more > 0 else "")


def missing_of(work: Iterable[Key], on: date) -> dict[Key, Missing]:
    """What each of these jobs and workshops lacks as known on a day, those that lack nothing left out.

    Of a job cancelled or a workshop called off nothing need come, and of one not yet over it may still come. Five statements.
    """
    keys = list(work)
    numbers = [pk for _kind, pk in keys]
    if not keys:
        return {}
    jobs = list(Job.objects.filter(pk__in=JobDone.objects.standing_on(on).filter(job__in=numbers).values("job")))
    holdings = WorkshopHeld.objects.standing_on(on).filter(workshop__in=numbers)
    held = list(Workshop.objects.filter(pk__in=holdings.values("workshop")))
    noted, planned, things = minutes_on([*jobs, *held], on), _minutes_planned(jobs), _things_planned(jobs)
    made = book(on)
    found: dict[Key, Missing] = {}
    for job in jobs:
        key: Key = ("job", job.pk)
        entered = any(entry.source[0] != "work" for entry in made.node(key).direct)
        hours = bool(planned.get(job.pk)) and not noted[job.pk].all
        found[key] = Missing(hours, planned.get(job.pk, 0), () if entered else things[job.pk])
    found |= {("workshop", one.pk): Missing(not noted[one.pk].all) for one in held}
    return {key: one for key, one in found.items() if one.hours or one.things}


def _minutes_planned(jobs: Sequence[Job]) -> Mapping[int, int]:
    """job -> the minutes planned on all its pieces."""
    pieces = JobPiece.objects.standing().filter(job__in=jobs).order_by("job").values_list("job")
    return dict(pieces.annotate(n=Sum(F("minutes") * F("quantity"))))


def _things_planned(jobs: Sequence[Job]) -> Mapping[int, list[str]]:
    """job -> what its pieces are to use of materials or have bought in, each once."""
    parts = PiecePart.objects.filter(piece__job__in=jobs, piece__undone_at__isnull=True)
    parts = parts.filter(Q(material__isnull=False) | ~Q(bought="")).select_related("material", "piece")
    found: dict[int, list[str]] = defaultdict(list)
    for part in parts.order_by("pk"):
        name = str(part.material or part.bought)
        if name not in found[part.piece.job_id]:
            found[part.piece.job_id].append(name)
    return found
