"""Net income, line by line, on the day of sale or sending, of a job done or a workshop held."""

from __future__ import annotations

from datetime import date

from .jobs import net_of_charges, of_jobs
from .line import DRIED, FRESH, HIRE, JOB, WORKSHOP, IncomeLine
from .retail import of_sales, totals_of_sale
from .taken import taken_by
from .trade import of_orders
from .workshops import of_workshops

FOREVER = date.min


def income(first: date | None, last: date) -> list[IncomeLine]:
    """Income of the days from `first` (None: ever) up to and including `last`, in order of day.

    A fixed number of queries. Credits count when issued by `last`.
    """
    since, taken = first or FOREVER, taken_by(last)
    lines = [*of_sales(since, last), *of_orders(since, last), *of_jobs(since, last, taken), *of_workshops(since, last, taken)]
    return sorted(lines, key=lambda line: line.on)


__all__ = ["DRIED", "FRESH", "HIRE", "JOB", "WORKSHOP", "IncomeLine", "income", "net_of_charges", "taken_by", "totals_of_sale"]
