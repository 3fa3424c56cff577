"""What was taken for jobs and workshops, what of it came back, and what is still out."""

from __future__ import annotations

from collections import defaultdict
from datetime import date

from django.db.models import Sum

from ledger.growing.models import Lot
from ledger.sales.models import CameBack, Job, Taken, Workshop
from ledger.stock.models import Line, Movement


def rows_out(taken: Taken) -> list[tuple[Movement, int]]:
    """The rows of the stock book that took bunches and how many of each are still out, the last taken first."""
    rows = taken.rows.select_related("movement__batch__line", "movement__box").order_by("-pk")
    movements = [row.movement for row in rows]
    back = dict(
        Movement.objects.standing().filter(brings_back__in=movements).order_by()
        .values_list("brings_back").annotate(n=Sum("bunches"))
    )
    return [(movement, -movement.bunches - back.get(movement.pk, 0)) for movement in movements]


def bunches_out(taken: Taken) -> int:
    """Bunches of one taking that did not come back; stems that came back leave a taking of fewer stems."""
    return sum(out for _movement, out in rows_out(taken))


def taken_of(work: Job | Workshop, on: date) -> list[Taken]:
    """What was taken for a job or a workshop by a day, the last first."""
    names = ("line__variety__species", "parting__lot__planting__variety__species")
    return list(work.taken.standing_on(on).select_related(*names).order_by("-on", "-pk"))


def taken_with_backs(work: Job | Workshop) -> list[Taken]:
    """Standing takings in order of day, each with `backs` (what came back of it) and `still_out`."""
    names = ("line__variety__species", "parting__lot__planting__variety__species")
    found = list(work.taken.standing().select_related(*names).order_by("on", "pk"))
    backs: dict[int, list[CameBack]] = defaultdict(list)
    for back in CameBack.objects.standing().filter(taken__in=found).order_by("on", "pk"):
        backs[back.taken_id].append(back)
    for one in found:
        one.backs = backs[one.pk]  # type: ignore[attr-defined]
        one.still_out = one.quantity - sum(back.quantity for back in backs[one.pk])  # type: ignore[attr-defined]
    return found


def still_out_of(work: Job | Workshop) -> dict[Line | Lot, int]:
    """Bunches by line and fresh stems by lot that were taken and did not come back, those of nil left out."""
    out: dict[Line | Lot, int] = defaultdict(int)
    for one in taken_with_backs(work):
        thing: Line | Lot = one.line if one.line is not None else one.parting.lot  # type: ignore[union-attr]
        out[thing] += one.still_out  # type: ignore[attr-defined]
    return {thing: number for thing, number in out.items() if number > 0}
