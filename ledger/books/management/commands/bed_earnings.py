"""`manage.py bed_earnings`: which planting earned its bed."""

from __future__ import annotations

from typing import Any

from django.core.management import CommandError

from ledger.books.queries.earning import Earned, bed_earnings
from ledger.facts.printing import Money, ReportCommand, day
from ledger.facts.queries import today
from ledger.reckoning.sharing import to_minor


class Command(ReportCommand):
    """Print a season's plantings, the best contribution per m2-week first."""

    help = "What each planting of a season brought in less what it cost, ranked."

    def add_questions(self, parser: Any) -> None:
        parser.add_argument("--season", type=int, help="the season (the latest with stems unless given)")
        parser.add_argument("--on", type=day, help="as of this day (today unless given)")

    def answer(self, **options: Any) -> dict[str, Any]:
        season, money = options["season"], Money()
        if season is not None and not 1990 <= season <= 2200:
            raise CommandError(f"{season} is no season; it is a year such as 2025.")
        found = bed_earnings(season, options["on"] or today())
        return {"rows": [row_of(one, money) for one in found]}


def row_of(one: Earned, money: Money) -> dict[str, Any]:
    """One planting's row; what cannot be said yet is None."""
    income, cost = to_minor(one.income), to_minor(one.cost)

    def said(amount: int | None) -> str | None:
        return money.millionths(amount) if one.judged else None

    return {
        "variety": str(one.planting.variety),
        "bed": one.planting.where,
        "season": one.season,
        "m2": str(one.m2),
        "weeks": str(one.weeks),
        "hours": f"{one.minutes / 60:.2f}",
        "income": money.minor(income),
        "cost": money.minor(cost),
        "earned": money.minor(income - cost) if one.judged else None,
        "contribution": said(one.contribution),
        "per_m2": said(one.per_m2),
        "per_m2_week": said(one.per_m2_week),
        "per_hour": said(one.per_hour),
        "unsold": said(one.unsold),
        "standing": "final" if one.final else "provisional" if one.judged else "cannot say yet",
    }
