"""Income of jobs: of one done on that day, of what was broken of its hire, of deposits kept as one was cancelled."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date

from django.db.models import QuerySet

from ledger.reckoning.tax import net_and_tax, tax_within
from ledger.sales.models import HireBack, InvoiceLine, Job, JobCancelled, JobCharge, JobDone

from .line import HIRE, JOB, IncomeLine
from .papers import Billed, by_thing
from .taken import TakenFor

Sums = tuple[int, int]
Named = tuple[str, int]
NOTHING = TakenFor()


def of_jobs(first: date, last: date, taken: Mapping[int, TakenFor]) -> Iterable[IncomeLine]:
    """Jobs done, hire and deposits kept on those days; four statements and one for the charges of jobs done."""
    billed = _billed(InvoiceLine.objects.filter(invoice__job__isnull=False), last)
    done = JobDone.objects.standing_on(last).filter(on__gte=first).select_related("job__way").order_by("on", "pk")
    for one in done.prefetch_related("charges"):
        yield from _done(one, billed, taken.get(one.job_id, NOTHING))
    broken = HireBack.objects.standing_on(last).filter(on__gte=first, charge__gt=0).select_related("hire__job__way")
    for back in broken.order_by("on", "pk"):
        yield replace(_line(back.on, HIRE, back.hire.job, _broken(back, billed)), broken=True)
    for cancelled in JobCancelled.objects.standing_on(last).filter(on__gte=first).select_related("job").order_by("on", "pk"):
        went = taken.get(cancelled.job_id, NOTHING)
        if cancelled.kept or went:
            net = cancelled.kept - tax_within(cancelled.kept, cancelled.rate_bp)
            yield _line(cancelled.on, JOB, cancelled.job, (net, cancelled.kept), went)


def net_of_charges(done: JobDone, last: date) -> dict[int, int]:
    """What each charge of a job done brought in net by a day, by its key, minor units; two statements."""
    billed = _billed(InvoiceLine.objects.filter(charge__done=done), last)
    return {one.pk: net for one, (net, _gross) in _charged(done, billed)}


def _billed(lines: QuerySet[InvoiceLine], last: date) -> Mapping[Named, Billed]:
    lines = lines.filter(invoice__on__lte=last).select_related("invoice")
    return by_thing(lines.order_by("invoice__number", "pk"))


def _charged(done: JobDone, billed: Mapping[Named, Billed]) -> list[tuple[JobCharge, Sums]]:
    """Each charge with its net and gross."""
    charges = list(done.charges.all())
    with_tax = done.job.way.with_tax
    shares = net_and_tax([one.amount for one in charges], done.rate_bp, with_tax=with_tax)
    return [
        (one, _as_billed(billed.get(("charge", one.pk)), share, with_tax)) for one, share in zip(charges, shares, strict=True)
    ]


def _done(done: JobDone, billed: Mapping[Named, Billed], went: TakenFor) -> Iterable[IncomeLine]:
    """One line for its pieces with all that was taken for it, one for its hire; of either only where there is any."""
    sums = _charged(done, billed)
    pieces, hires = ([each for one, each in sums if (one.hire_id is None) == is_piece] for is_piece in (True, False))
    if pieces or went:
        yield _line(done.on, JOB, done.job, _added(pieces), went)
    if hires:
        yield _line(done.on, HIRE, done.job, _added(hires))


def _broken(back: HireBack, billed: Mapping[Named, Billed]) -> Sums:
    with_tax = back.hire.job.way.with_tax
    (share,) = net_and_tax([back.charge], back.rate_bp, with_tax=with_tax)
    return _as_billed(billed.get(("broken", back.pk)), share, with_tax)


def _as_billed(paper: Billed | None, share: Sums, with_tax: bool) -> Sums:
    """(net, gross) of one thing, of its net and tax: as it was invoiced where it was, less what was credited."""
    if paper is None or paper.invoiced is None:
        return share[0], sum(share)
    net = paper.invoiced - paper.credited
    if with_tax:
        return net, sum(share) - paper.credited_at
    return net, net + paper.tax


def _added(sums: Sequence[Sums]) -> Sums:
    return sum(net for net, _gross in sums), sum(gross for _net, gross in sums)


def _line(on: date, kind: str, job: Job, sums: Sums, went: TakenFor = NOTHING) -> IncomeLine:
    return IncomeLine(
        on=on, kind=kind, movements=tuple(went.movements), partings=tuple(went.partings), net=sums[0], gross=sums[1],
        way=job.way_id, customer=job.customer_id, spent_on=job.pk,
    )
