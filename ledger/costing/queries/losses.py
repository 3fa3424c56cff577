"""A season's losses: what went and what it cost, by each thing that may teach something."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet, Sum

from ledger.facts.queries import holding
from ledger.growing.models import GoneOver, Lot
from ledger.reckoning.years import season_bounds, season_of

from .book import book
from .hung import hung_by
from .loss_tables import LossTable, by_finish, by_reason, by_source, in_drying, trials
from .spoilt import Went, lost_in_drying, lost_in_runs, thrown_out
from .strands import follow


@dataclass(frozen=True)
class SeasonLosses:
    """A season's losses as of a day: every table, and the weeks and reasons the picture is drawn of.

    `gone_over`: about so many stems spoiled in the bed uncut.
    """

    season: int
    on: date
    final: bool
    by_reason: LossTable
    by_source: LossTable
    in_drying: Sequence[LossTable]
    by_finish: LossTable
    trials: LossTable
    gone_over: int
    weeks: Sequence[tuple[str, Mapping[str, int]]]


def season_losses(season: int | None, on: date, variety: int | None = None) -> SeasonLosses:
    """What a season's cut lost by a day; the season of the last lot cut by then where none is named."""
    month = holding().season_first_month
    season = season or last_season(on, month)
    lots = set(lots_of(season, on, month, variety).values_list("pk", flat=True))
    made = book(on)
    hangings = [one for one in hung_by(on, first_month=month, variety=variety) if one.season == season]
    dried = lost_in_drying(made, hangings)
    plain = [went for went in dried if went.hung and not went.hung.trial]
    benched = lost_in_runs(made, follow(lots, on), on)
    tried = [went for went in dried if went.hung and went.hung.trial]
    reasons = [*thrown_out(made, lots, on), *(went for went in plain if went.stems), *(went for went in benched if went.stems)]
    return SeasonLosses(
        season=season, on=on, final=all(went.final for went in reasons),
        by_reason=by_reason(reasons), by_source=by_source(reasons), in_drying=in_drying(plain),
        by_finish=by_finish(benched), trials=trials(tried), weeks=_weeks(plain),
        gone_over=_gone_over(season, on, month, variety),
    )


def _gone_over(season: int, on: date, first_month: int, variety: int | None) -> int:
    rows = GoneOver.objects.standing_on(on).filter(on__range=season_bounds(season, first_month=first_month))
    rows = rows if variety is None else rows.filter(planting__variety=variety)
    return rows.aggregate(n=Sum("stems"))["n"] or 0


def last_season(on: date, first_month: int) -> int:
    """The season of the last lot cut by a day, else the day's own."""
    last = Lot.objects.standing_on(on).order_by("on").values_list("on", flat=True).last()
    return season_of(last or on, first_month=first_month)


def lots_of(season: int, on: date, first_month: int, variety: int | None = None) -> QuerySet[Lot]:
    """The lots of a season cut by a day, of one variety where named."""
    rows = Lot.objects.standing_on(on).filter(on__range=season_bounds(season, first_month=first_month)).order_by("on", "pk")
    return rows if variety is None else rows.filter(planting__variety=variety)


def _weeks(went: Iterable[Went]) -> list[tuple[str, Mapping[str, int]]]:
    """Stems lost by reason in each week of hanging, weeks with nothing lost included."""
    weeks: dict[str, dict[str, int]] = {}
    for one in went:
        if one.hung:
            reasons = weeks.setdefault(one.hung.week, {})
            reasons[one.reason] = reasons.get(one.reason, 0) + one.stems
    return sorted(weeks.items())
