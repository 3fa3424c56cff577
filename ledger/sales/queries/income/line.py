"""One line of income."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

DRIED, FRESH, JOB, HIRE, WORKSHOP = "dried", "fresh", "job", "hire", "workshop"


@dataclass(frozen=True)
class IncomeLine:
    """What one line of a retail sale or of a dispatch, a job done, its hire or a workshop brought in, whole minor units.

    `kind` "dried", "fresh", "job", "hire" or "workshop". `movements`: the rows of the stock book it took, with bunches
    each; `partings`: the fresh stems it took. A line "dried" or "fresh" took one or the other, of one `line` or `variety`; a
    job or workshop all that was taken for it, of any kind, or nothing; a hire nothing. `spent_on`: the cost object that
    bears its selling: stall day, else order, else sale; the job or workshop. What was credited of a dispatch or a job is
    taken off. A dispatch's carriage is shared over its lines by their net value. `broken`: a hire's charge for what did not
    come back whole.
    """

    on: date
    kind: str
    movements: tuple[tuple[int, int], ...]
    partings: tuple[int, ...]
    net: int
    gross: int
    way: int
    customer: int | None
    spent_on: int
    line: int | None = None
    variety: int | None = None
    broken: bool = False

    @property
    def of_work(self) -> bool:
        """Whether it is the income of a job or a workshop, or of hire with a job."""
        return self.kind in {JOB, HIRE, WORKSHOP}
