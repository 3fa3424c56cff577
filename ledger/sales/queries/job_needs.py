"""What the pieces of a job need in all, and what of it is kept, taken and still to come."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db.models import F, QuerySet, Sum

from ledger.stock.queries.sets import rows_of

from .sets import rows

if TYPE_CHECKING:
    from ledger.sales.models import Job
    from ledger.stock.models import Line


def parts_of(job: Job) -> QuerySet:
    """The parts of a job's standing pieces."""
    return rows("PiecePart").filter(piece__job=job, piece__undone_at__isnull=True)


def bunches_needed(job: Job) -> dict[Line, int]:
    """What the pieces need of each line: whole bunches where it is bunched by stems, else its units; in order of line."""
    in_all = F("quantity") * F("piece__quantity")
    sums = parts_of(job).exclude(line=None).order_by("line").values_list("line").annotate(n=Sum(in_all))
    found = rows_of("Line").select_related("variety__species").in_bulk([line for line, _n in sums])
    return {found[line]: -(-n // (found[line].stems or 1)) for line, n in sums}


def bunches_taken(job: Job) -> dict[int, int]:
    """Bunches taken for a job less what came back, by the line's key."""
    taken = dict(job.taken.standing().exclude(line=None).order_by("line").values_list("line").annotate(n=Sum("quantity")))
    back = rows("CameBack").standing().filter(taken__job=job, taken__undone_at__isnull=True)
    for line, n in back.order_by("taken__line").values_list("taken__line").annotate(n=Sum("quantity")):
        taken[line] -= n
    return taken


def bunches_kept(job: Job) -> dict[int, int]:
    """Bunches its holds keep now, by the line's key."""
    changes = rows_of("HoldChange").standing().filter(hold__job_hold__job=job)
    return dict(changes.order_by("hold__line").values_list("hold__line").annotate(n=Sum("bunches")))


def bunches_to_keep(job: Job) -> dict[Line, int]:
    """What the pieces need of each line and is neither kept nor taken yet, those of nil left out; in order of line."""
    kept, taken = bunches_kept(job), bunches_taken(job)
    lacking = {line: n - kept.get(line.pk, 0) - taken.get(line.pk, 0) for line, n in bunches_needed(job).items()}
    return {line: n for line, n in lacking.items() if n > 0}
