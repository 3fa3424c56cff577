"""What was taken for jobs and workshops, what of it came back, and what is still out."""

from __future__ import annotations

from django.db.models import Sum

from ledger.sales.models import Taken
from ledger.stock.models import Movement


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
