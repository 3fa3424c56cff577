"""What of a job or workshop that is over is not entered yet, so that what it left is too much."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from django.db.models import F, Sum
from django.utils.translation import gettext as _

from ledger.costing.queries import book
from ledger.reckoning.book import Key
from ledger.sales.models import Job, JobDone, JobPiece, PiecePart, Taken, Workshop, WorkshopHeld

from .market_days import minutes_on

NAMED = 4


@dataclass(frozen=True)
class Missing:
    """What a job done or a workshop held lacks: any hour, of `planned` minutes (nil: no plan says how many), goods, `things`.

    `goods`: bunches or fresh stems were to be taken and none was. `things`: what was to be used or bought in, of which
    nothing is entered; empty where something is.
    """

    hours: bool
    planned: int = 0
    goods: bool = False
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
        if self.goods:
            said.append(_("Bunches or fresh stems are planned and none was taken: enter them, or what was left is too much."))
        if self.things:
            says = _("To be used or bought in, and nothing of it entered: %(things)s. Enter it, or what was left is too much.")
            said.append(says % {"things": _named(self.things)})
        return said


def _named(things: Sequence[str]) -> str:
    more = len(things) - NAMED
    return ", ".join(things[:NAMED]) + (_(" and %(n)d more") % {"n": more} if more > 0 else "")


def missing_of(work: Iterable[Key], on: date) -> dict[Key, Missing]:
    """What each of these jobs and workshops lacks as known on a day, those that lack nothing left out.

    Of a job cancelled or a workshop called off nothing need come, and of one not yet over it may still come. Six statements.
    """
    keys = list(work)
    numbers = [pk for _kind, pk in keys]
    if not keys:
        return {}
    jobs = list(Job.objects.filter(pk__in=JobDone.objects.standing_on(on).filter(job__in=numbers).values("job")))
    holdings = WorkshopHeld.objects.standing_on(on).filter(workshop__in=numbers)
    held = list(Workshop.objects.filter(pk__in=holdings.values("workshop")))
    noted, plans, made = minutes_on([*jobs, *held], on), _planned(jobs), book(on)
    taken = set(Taken.objects.standing_on(on).filter(job__in=jobs).order_by().values_list("job", flat=True))
    found: dict[Key, Missing] = {("workshop", one.pk): Missing(not noted[one.pk].all) for one in held}
    for job in jobs:
        plan, key = plans[job.pk], ("job", job.pk)
        entered = any(entry.source[0] != "work" for entry in made.node(key).direct)
        found[key] = Missing(
            hours=bool(plan.minutes) and not noted[job.pk].all, planned=plan.minutes,
            goods=plan.goods and job.pk not in taken, things=() if entered else plan.things,
        )
    return {key: one for key, one in found.items() if one.hours or one.goods or one.things}


@dataclass
class _Plan:
    """What all pieces of a job planned: minutes, whether bunches or fresh stems, and what was to be used or bought in."""

    minutes: int = 0
    goods: bool = False
    things: list[str] = field(default_factory=list)


def _planned(jobs: Sequence[Job]) -> Mapping[int, _Plan]:
    """job -> what was planned; two statements."""
    plans: dict[int, _Plan] = defaultdict(_Plan)
    pieces = JobPiece.objects.standing().filter(job__in=jobs).order_by("job").values_list("job")
    for job, minutes in pieces.annotate(n=Sum(F("minutes") * F("quantity"))):
        plans[job].minutes = minutes
    parts = PiecePart.objects.filter(piece__job__in=jobs, piece__undone_at__isnull=True)
    for part in parts.select_related("material", "piece").order_by("pk"):
        plan, name = plans[part.piece.job_id], str(part.material or part.bought)
        if part.line_id or part.variety_id:
            plan.goods = True
        elif name not in plan.things:
            plan.things.append(name)
    return plans
