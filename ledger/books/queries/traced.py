"""What was traced to one planting's season: income by kind, cost, minutes, stems."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ledger.reckoning.book import Amounts, Element, added, total
from ledger.sales.queries.income import DRIED, FRESH, HIRE, JOB, WORKSHOP

MADE_UP, JOBS = "made_up", "jobs"
INCOME_KINDS = ("fresh", "dried", MADE_UP, JOBS)
KIND_OF = {FRESH: "fresh", DRIED: "dried", JOB: JOBS, WORKSHOP: JOBS, HIRE: JOBS}


@dataclass
class Traced:
    """What was traced to one planting's season so far: millionths, minutes, stems.

    `income_of`: net income by kind ("fresh", "dried", "made_up", "jobs"). `costs` is all
    it bore; `taken_off`, by kind, the part of it that is other materials, work and selling
    of made-up goods sold and of jobs and workshops, which come off what those brought in.
    `months`: minutes by month of the year.
    """

    income_of: dict[str, int] = field(default_factory=lambda: dict.fromkeys(INCOME_KINDS, 0))
    costs: dict[Element, int] = field(default_factory=dict)
    taken_off: dict[str, int] = field(default_factory=lambda: {MADE_UP: 0, JOBS: 0})
    months: dict[int, int] = field(default_factory=dict)
    unsold: int = 0
    stems: int = 0

    @property
    def income(self) -> int:
        """All it brought in."""
        return sum(self.income_of.values())

    @property
    def all_taken_off(self) -> int:
        """All that comes off what made-up goods and jobs brought in."""
        return sum(self.taken_off.values())

    @property
    def minutes(self) -> int:
        """All minutes worked on it."""
        return sum(self.months.values())

    def bear(self, amounts: Amounts, kind: str = "") -> None:
        """Add a cost; what selling made-up goods cost, or a job besides what was taken for it, comes off what they brought in."""
        self.costs = added(self.costs, amounts)
        if kind in self.taken_off:
            self.taken_off[kind] += total(amounts)

    def work(self, months: Mapping[int, int]) -> None:
        """Add minutes."""
        for month, minutes in months.items():
            self.months[month] = self.months.get(month, 0) + minutes
