"""Bed earnings: what each planting brought in less what it cost, traced along the path."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from ledger.costing.queries import book
from ledger.growing.models import Planting
from ledger.reckoning.book import Book, Key, PlantingFact, bed_days, season_key, total
from ledger.reckoning.taking import proportion
from ledger.reckoning.years import season_bounds, season_of

from .beds import Held, held_of, steps_of_beds
from .figures import Figures
from .traced import Traced
from .tracing import Tracing
from .unsold import fetched_by_source

FIXED_STAGES = frozenset({"bed_space", "drying_space"})
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Earned:
    """One planting's season: its figures (money in millionths), and what it held of each bed (`beds`).

    `cost` is all traced cost, selling included; `contribution` leaves bed and
    drying space out; `unsold` is what stands at cost beside it. `judged` is
    False where the figures cannot say yet.
    """

    planting: Planting
    source: Key
    season: int
    weeks: Decimal
    figures: Figures
    beds: Mapping[int, Held]
    final: bool
    judged: bool

    @property
    def m2(self) -> Decimal:
        """Its mean area."""
        return (Decimal(self.figures.area) / 100).quantize(Decimal("0.01"))

    @property
    def minutes(self) -> int:
        return self.figures.minutes

    @property
    def stems(self) -> int:
        return self.figures.stems

    @property
    def income(self) -> int:
        return self.figures.income

    @property
    def cost(self) -> int:
        return self.figures.cost

    @property
    def contribution(self) -> int:
        return self.figures.contribution

    @property
    def unsold(self) -> int:
        return self.figures.unsold

    @property
    def earned(self) -> int:
        return self.figures.earned

    @property
    def per_m2(self) -> int | None:
        return self.figures.per_m2

    @property
    def per_m2_week(self) -> int | None:
        return self.figures.per_m2_week

    @property
    def contribution_per_m2_week(self) -> int | None:
        return self.figures.contribution_per_m2_week

    @property
    def per_hour(self) -> int | None:
        return self.figures.per_hour

    @property
    def missing(self) -> str:
        """What keeps a judgement from being made ("early", "hours", "sales"), empty where nothing does.

        A missing figure is never taken as zero.
        """
        if not self.judged:
            return "early"
        if not self.minutes:
            return "hours"
        return "sales" if self.stems and not self.income and self.unsold else ""


def bed_earnings(season: int | None, on: date) -> list[Earned]:
    """Each planting of a season (None: the latest with stems) as of a day, best contribution per m2-week first."""
    made = book(on)
    wanted = season if season is not None else latest_season(made)
    return sorted(earned_in(made, Tracing(made, on), wanted, wanted), key=_rank)


def earned_in(made: Book, tracing: Tracing, first: int, last: int) -> list[Earned]:
    """Each planting's season from the `first` up to and including the `last`, in order of season and planting."""
    on = made.facts.on
    wanted = [
        (one, season)
        for season in range(first, last + 1) for one in made.facts.plantings if _has_season(one, season, made, tracing)
    ]
    plantings = Planting.objects.whole().in_bulk([one.key for one, _ in wanted])
    steps, fetched = steps_of_beds(on), fetched_by_source(made, tracing, on)
    found = []
    for one, season in wanted:
        source, stay = source_key(one, season), _stay(made, one, season)
        held = held_of(one, steps.get(one.key, {}), *stay)
        days, area_days = bed_days(one, *stay)
        area = proportion(area_days, 1, days) if days else one.area
        figures = _figures(tracing.of(source), fetched.get(source, (0, 0)), area, list(held.values()))
        node = made.node(source)
        found.append(Earned(
            planting=plantings[one.key], source=source, season=season, figures=figures, beds=held, final=node.final,
            weeks=(Decimal(days) / 7).quantize(Decimal("0.01")), judged=node.known and (node.final or figures.stems > 0),
        ))
    return found


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


def source_key(planting: PlantingFact, season: int) -> Key:
    """The node that stands for a planting's season."""
    return season_key(planting.key, season) if planting.perennial else ("planting", planting.key)


def _stay(made: Book, planting: PlantingFact, season: int) -> tuple[date, date]:
    """From when up to, not including, when it may hold a bed: an annual's whole stay, a perennial's within the season."""
    first, end = planting.on, made.facts.on + ONE_DAY
    if planting.perennial:
        starts, last = season_bounds(season, first_month=made.facts.calendar.season_first_month)
        first, end = max(first, starts), min(end, last + ONE_DAY)
    return first, end


def _figures(traced: Traced, fetched: tuple[int, int], area: int, held: Sequence[Held]) -> Figures:
    area_days: dict[int, int] = {}
    for one in held:
        for month, number in one.area_days.items():
            area_days[month] = area_days.get(month, 0) + number
    taken_off = traced.all_taken_off
    return Figures(
        income_of={kind: amount - traced.taken_off.get(kind, 0) for kind, amount in traced.income_of.items()},
        cost=total(traced.costs) - taken_off, taken_off=taken_off,
        space=sum(amount for (stage, _), amount in traced.costs.items() if stage in FIXED_STAGES),
        unsold=traced.unsold, fetches=fetched[0], unpriced=traced.unsold - fetched[1], stems=traced.stems,
        area=area, area_days=area_days, minutes_of=dict(traced.months),
    )
