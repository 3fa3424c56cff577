"""`manage.py bed_earnings`: which planting, variety, species, bed or plot earned its bed."""

from __future__ import annotations

from typing import Any

from django.core.management import CommandError

from ledger.books.forms import MOST_SEASONS
from ledger.books.queries.bridge import YearBridge
from ledger.books.queries.figures import Figures
from ledger.books.queries.groups import BY, Group
from ledger.books.queries.report import Question, Report, report
from ledger.books.queries.traced import INCOME_KINDS
from ledger.facts.printing import Money, ReportCommand, day
from ledger.facts.queries import today
from ledger.reckoning.sharing import to_minor


class Command(ReportCommand):
    """Print the plantings of one season or several, or what they are gathered by, best contribution per m2-week first."""

    help = "What each planting (or variety, species, bed, plot) of one season or several brought in less what it cost, ranked."

    def add_questions(self, parser: Any) -> None:
        parser.add_argument("--season", type=int, help="the season (the latest with stems unless given)")
        parser.add_argument("--from", type=int, dest="first", help="the first of several seasons")
        parser.add_argument("--to", type=int, dest="last", help="the last of several seasons")
        parser.add_argument("--by", choices=BY, default="planting", help="what they are gathered by (planting unless given)")
        parser.add_argument("--bridge", action="store_true", help="also from these rows to the year's sales and spending")
        parser.add_argument("--on", type=day, help="as of this day (today unless given)")

    def answer(self, **options: Any) -> dict[str, Any]:
        first, last = _seasons(options["season"], options["first"], options["last"])
        bridged, money = options["bridge"], Money()
        found = report(Question(first, last, options["by"]), options["on"] or today(), bridged=bridged)
        rows = [row_of(group, found, money) for group in found.groups]
        return {"rows": rows, **(_bridges(found.bridge, money) if found.bridge else {})}


def _seasons(season: int | None, first: int | None, last: int | None) -> tuple[int | None, int | None]:
    """The first and the last season asked about; refused where they are no seasons."""
    for one in (season, first, last):
        if one is not None and not 1990 <= one <= 2200:
            raise CommandError(f"{one} is no season; it is a year such as 2025.")
    if season is not None and (first is not None or last is not None):
        raise CommandError("Ask for --season, or for seasons --from one --to another.")
    if last is not None and first is None:
        raise CommandError("Say --from which season.")
    if first is not None and last is not None and not first <= last < first + MOST_SEASONS:
        raise CommandError(f"Seasons do not run from {first} to {last} here.")
    return (season if first is None else first), last


def row_of(group: Group, found: Report, money: Money) -> dict[str, Any]:
    """One row; what cannot be said yet is None."""
    figures, income, cost = group.figures, to_minor(group.figures.income), to_minor(group.figures.cost)

    def said(amount: int | None) -> str | None:
        return money.millionths(amount) if group.judged else None

    return {
        **_about(group, found),
        "m2": f"{group.area / 100:.2f}",
        **_weeks(group, found),
        "hours": f"{figures.minutes / 60:.2f}",
        "income": money.minor(income),
        **_by_kind(figures, money),
        "cost": money.minor(cost),
        "earned": money.minor(income - cost) if group.judged else None,
        "contribution": said(figures.contribution),
        "per_m2": said(group.per_m2),
        "per_m2_week": said(figures.per_m2_week),
        "per_hour": said(figures.per_hour),
        "unsold": said(figures.unsold),
        "likely_to_fetch": said(figures.fetches),
        "standing": "final" if group.final else "provisional" if group.judged else "cannot say yet",
    }


def _bridges(year: YearBridge, money: Money) -> dict[str, Any]:
    """Each bridge from its first figure to its last, which was added up apart."""
    found: dict[str, Any] = {}
    for name, one in (("income", year.income), ("cost", year.cost), ("places", year.places)):
        rows = [("from these rows", one.start), *((step.what, step.amount) for step in one.steps)]
        rows += [("left unexplained", one.unexplained), ("of the year", one.end)]
        found[f"bridge_{name}"] = [{"what": what, "amount": money.millionths(amount)} for what, amount in rows]
    return found


def _about(group: Group, found: Report) -> dict[str, Any]:
    first, seasons = group.parts[0].of, sorted({part.of.season for part in group.parts})
    season = seasons[0] if len(seasons) == 1 else f"{seasons[0]}-{seasons[-1]}"
    if found.by == "planting":
        return {"variety": group.name, "bed": first.planting.where, "season": season, "stems": group.figures.stems}
    return {found.by: group.name, "plantings": group.gathers, "season": season, "stems": group.figures.stems}


def _weeks(group: Group, found: Report) -> dict[str, str]:
    weeks = {"m2_weeks": f"{group.figures.m2_days / 700:.2f}"}
    return {"weeks": str(sum(part.of.weeks for part in group.parts)), **weeks} if found.by == "planting" else weeks


def _by_kind(figures: Figures, money: Money) -> dict[str, str | None]:
    return {kind: money.millionths(figures.income_of.get(kind, 0)) for kind in INCOME_KINDS}
