"""Which jobs want something: by how they stand, and what of their bunches is neither kept nor taken."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Exists, F, OuterRef, Q, QuerySet, Sum

from ledger.drying.queries import total
from ledger.sales.models import CameBack, HireBack, HireOut, Job, JobCharge, JobHire, PiecePart, Taken
from ledger.stock.models import HoldChange

SOON, RUNS_OUT = timedelta(14), timedelta(7)


def in_job_state(rows: QuerySet, state: str, on: date) -> QuerySet:
    """Of jobs with their standing those in a state on a day; states beyond the four of a job are ways they want something."""
    asked, still_open = Q(stands_as="asked"), Q(stands_as__in=["asked", "agreed"])
    chosen = {
        "open": still_open, "past": still_open & Q(held_on_now__lt=on),
        "lapsed": asked & Q(good_until_now__lt=on),
        "running_out": asked & Q(good_until_now__gte=on, good_until_now__lte=on + RUNS_OUT),
        "money": Q(deposits_held__gt=0),
    }
    if state == "to_invoice":
        return rows.filter(to_be_billed())
    if state == "give_back":
        over = Q(stands_as="cancelled") | Q(stands_as="done") & ~to_be_billed()
        return rows.filter(over, deposits_held__gt=0)
    if state == "hire_overdue":
        return rows.filter(Exists(hires_out().filter(job=OuterRef("pk"), last_day__lt=on)))
    return rows.filter(chosen.get(state, Q(stands_as=state)))


def to_be_billed() -> Q:
    """The condition that something charged for a job, or for what was broken of its hires, is on no invoice."""
    charges = JobCharge.objects.filter(done__job=OuterRef("pk"), done__undone_at=None, invoice_lines=None)
    broken = HireBack.objects.standing().filter(hire__job=OuterRef("pk"), hire__undone_at=None, charge__gt=0, invoice_lines=None)
    return Q(Exists(charges)) | Q(Exists(broken))


def hires_out() -> QuerySet[JobHire]:
    """Standing hires of which some is still out, with `went`, `whole`, `broken` and `out`."""
    return with_out(JobHire.objects.standing()).filter(out__gt=0)


def with_out(hires: QuerySet[JobHire]) -> QuerySet[JobHire]:
    """Hires with how many `went` out, came back `whole`, are `broken` or lost, and are still `out`."""
    backs = HireBack.objects.standing()
    return hires.annotate(
        went=total(HireOut.objects.standing(), "hire", "quantity"), whole=total(backs, "hire", "whole"),
        broken=total(backs, "hire", "broken"),
    ).annotate(out=F("went") - F("whole") - F("broken"))


@dataclass(frozen=True)
class Wants:
    """A job with so many bunches its pieces need neither kept nor taken (`lacks`), and so many kept and not taken (`kept`)."""

    job: Job
    lacks: int
    kept: int


def soon_wanting(on: date) -> list[Wants]:
    """Agreed jobs of the next days that lack bunches or have not taken what is kept, the soonest first; five statements."""
    jobs = Job.objects.standing().with_state().held_between(on, on + SOON).filter(stands_as="agreed")
    found = list(jobs.order_by("held_on_now", "pk"))
    needed, there = _needed(found), _taken(found)
    kept = _kept(found)
    wants = []
    for job in found:
        lines = {line for one, line in (*needed, *kept) if one == job.pk}
        lacks = sum(max(needed[job.pk, one] - there[job.pk, one] - kept[job.pk, one], 0) for one in lines)
        wants.append(Wants(job, lacks, sum(kept[job.pk, one] for one in lines)))
    return [one for one in wants if one.lacks or one.kept]


def _needed(jobs: Iterable[Job]) -> dict[tuple[int, int], int]:
    """Whole bunches that the pieces of jobs need, by job and line."""
    found: dict[tuple[int, int], int] = defaultdict(int)
    parts = PiecePart.objects.filter(piece__job__in=jobs, piece__undone_at=None, line__isnull=False).order_by()
    sums = parts.values_list("piece__job", "line", "line__stems").annotate(n=Sum(F("quantity") * F("piece__quantity")))
    for job, line, stems, n in sums:
        found[job, line] = -(-n // (stems or 1))
    return found


def _taken(jobs: Iterable[Job]) -> dict[tuple[int, int], int]:
    """Bunches taken for jobs less what came back, by job and line."""
    found: dict[tuple[int, int], int] = defaultdict(int)
    taken = Taken.objects.standing().filter(job__in=jobs, line__isnull=False).order_by()
    for job, line, n in taken.values_list("job", "line").annotate(n=Sum("quantity")):
        found[job, line] += n
    back = CameBack.objects.standing().filter(taken__job__in=jobs, taken__undone_at=None, taken__line__isnull=False).order_by()
    for job, line, n in back.values_list("taken__job", "taken__line").annotate(n=Sum("quantity")):
        found[job, line] -= n
    return found


def _kept(jobs: Iterable[Job]) -> dict[tuple[int, int], int]:
    found: dict[tuple[int, int], int] = defaultdict(int)
    changes = HoldChange.objects.standing().filter(hold__job_hold__job__in=jobs).order_by()
    for job, line, n in changes.values_list("hold__job_hold__job", "hold__line").annotate(n=Sum("bunches")):
        found[job, line] = n
    return found
