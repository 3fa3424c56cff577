"""Bed earnings: what each planting brought in less what it cost, traced along the path."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from ledger.costing.queries import book
from ledger.growing.models import Planting
from ledger.reckoning.book import Book, Key, PlantingFact, bed_days, season_key, total
from ledger.reckoning.taking import proportion
from ledger.reckoning.years import season_bounds, season_of

from .tracing import Traced, Tracing

FIXED_STAGES = frozenset({"bed_space", "drying_space"})
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Earned:
    """One planting's season: money in millionths, mean area in m2, weeks in its beds.

    `cost` is all traced cost, selling included; `contribution` leaves bed and
    drying space out; `unsold` is what stands at cost beside it. `judged` is
    False where the figures cannot say yet.
    """

    planting: Planting
    source: Key
    season: int
    m2: Decimal
    weeks: Decimal
    minutes: int
    stems: int
    income: int
    cost: int
    contribution: int
    unsold: int
    final: bool
    judged: bool

    @property
    def earned(self) -> int:
        return self.income - self.cost

    @property
    def per_m2(self) -> int | None:
        return _per(self.earned, int(self.m2 * 100), 100)

    @property
    def per_m2_week(self) -> int | None:
        return _per(self.earned, int(self.m2 * 100 * self.weeks * 100), 10_000)

    @property
    def contribution_per_m2_week(self) -> int | None:
        return _per(self.contribution, int(self.m2 * 100 * self.weeks * 100), 10_000)

    @property
    def per_hour(self) -> int | None:
        return _per(self.earned, self.minutes, 60)


def _per(amount: int, number: int, scale: int) -> int | None:
    """amount / (number / scale); None where there is nothing to divide by."""
    return proportion(amount, scale, number) if number else None


def bed_earnings(season: int | None, on: date) -> list[Earned]:
    """Each planting of a season (None: the latest with stems) as of a day, best contribution per m2-week first."""
    made = book(on)
    tracing = Tracing(made, on)
    wanted = season if season is not None else latest_season(made)
    rows = [_row(made, tracing, one, wanted) for one in made.facts.plantings if _has_season(one, wanted, made, tracing)]
    plantings = Planting.objects.whole().in_bulk([key for key, _ in rows])
    found = [_earned(plantings[key], wanted, *parts) for key, parts in rows]
    return sorted(found, key=_rank)


def latest_season(made: Book) -> int:
    """The latest season in which a stem was cut, else the season of the book's day."""
    month = made.facts.calendar.season_first_month
    days = [lot.on for lot in made.facts.lots]
    return season_of(max(days, default=made.facts.on), first_month=month)


def _has_season(planting: PlantingFact, season: int, made: Book, tracing: Tracing) -> bool:
    """An annual's one season; every season of a perennial while it stands, and earlier ones that gave stems."""
    if not planting.perennial:
        return planting.season == season
    if season < planting.season:
        return tracing.of(source_key(planting, season)).stems > 0
    starts, _ = season_bounds(season, first_month=made.facts.calendar.season_first_month)
    return starts <= made.facts.on and not (planting.cleared and planting.cleared <= starts)


def _rank(row: Earned) -> tuple[bool, int, str]:
    return (not row.judged, -(row.contribution_per_m2_week or 0), str(row.planting))


Parts = tuple[Key, Traced, int, Decimal, bool, bool]


def _row(made: Book, tracing: Tracing, planting: PlantingFact, season: int) -> tuple[int, Parts]:
    key = source_key(planting, season)
    node = made.node(key)
    days, area_days = _bed_days(made, planting, season)
    weeks = (Decimal(days) / 7).quantize(Decimal("0.01"))
    area = proportion(area_days, 1, days) if days else planting.area
    return planting.key, (key, tracing.of(key), area, weeks, node.final, node.known)


def source_key(planting: PlantingFact, season: int) -> Key:
    """The node that stands for a planting's season."""
    return season_key(planting.key, season) if planting.perennial else ("planting", planting.key)


def _bed_days(made: Book, planting: PlantingFact, season: int) -> tuple[int, int]:
    """Days in its beds and their area x days: an annual's whole stay, a perennial's within the season."""
    first, end = planting.on, made.facts.on + ONE_DAY
    if planting.perennial:
        starts, last = season_bounds(season, first_month=made.facts.calendar.season_first_month)
        first, end = max(first, starts), min(end, last + ONE_DAY)
    return bed_days(planting, first, end)


def _earned(
    planting: Planting, season: int, source: Key, traced: Traced, area: int, weeks: Decimal, final: bool, known: bool
) -> Earned:
    cost = total(traced.costs)
    fixed = sum(amount for (stage, _), amount in traced.costs.items() if stage in FIXED_STAGES)
    return Earned(
        planting=planting, source=source, season=season, m2=(Decimal(area) / 100).quantize(Decimal("0.01")), weeks=weeks,
        minutes=traced.minutes, stems=traced.stems, income=traced.income, cost=cost, contribution=traced.income - cost + fixed,
        unsold=traced.unsold, final=final, judged=known and (final or traced.stems > 0),
    )
