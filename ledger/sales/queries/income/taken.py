"""What was taken for jobs and workshops up to a day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from ledger.sales.models import Taken, TakenRow


@dataclass
class TakenFor:
    """What was taken for one job or workshop: rows of the stock book with their bunches, and fresh stems by parting.

    What came back is brought back by rows of its own.
    """

    movements: list[tuple[int, int]] = field(default_factory=list)
    partings: list[int] = field(default_factory=list)

    def __bool__(self) -> bool:
        return bool(self.movements or self.partings)


def taken_by(last: date) -> Mapping[int, TakenFor]:
    """By the key of the job or workshop, which no two share; two statements."""
    found: dict[int, TakenFor] = defaultdict(TakenFor)
    rows = TakenRow.objects.filter(taken__undone_at=None, taken__on__lte=last).order_by("pk")
    for job, workshop, movement, bunches in rows.values_list(
        "taken__job", "taken__workshop", "movement", "movement__bunches"
    ):
        found[job or workshop].movements.append((movement, -bunches))
    fresh = Taken.objects.standing_on(last).exclude(parting=None).order_by("pk")
    for job, workshop, parting in fresh.values_list("job", "workshop", "parting"):
        found[job or workshop].partings.append(parting)
    return found
