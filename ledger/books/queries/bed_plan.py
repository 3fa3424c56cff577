"""What each bed earned in a season, what stood in it from day to day, and where it lies."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from functools import cached_property

from ledger.costing.queries import book
from ledger.growing.models import Bed, Planting
from ledger.growing.queries import PlotPlan, Stay, bed_stays, plot_plans
from ledger.reckoning.sharing import printed, to_minor
from ledger.reckoning.taking import proportion
from ledger.reckoning.years import season_bounds

from .earning import Earned, bed_earnings, latest_season
from .groups import Group, grouped

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Stood:
    """A planting on so many m2 of a bed from a day up to, not including, another, within the days drawn.

    `per_m2`: what its season earned for each m2, whole minor units; None where that cannot be said
    (`missing` says why) or where it stands for another season. `since` and `until` (None: it still stands) are its
    own days, beyond those drawn.
    """

    planting: Planting
    bed: int
    area: Decimal
    first: date
    end: date
    since: date
    until: date | None
    per_m2: int | None
    missing: str
    of_season: bool


@dataclass(frozen=True)
class BedEarned:
    """A bed's season: what it earned, whole minor units that add up, for each m2 of the bed, and how much of it lay bare.

    `earned` is None where something in it cannot be said yet (`missing` says why) and where nothing
    of the season stood in it; `bare_bp` the share of its m2-days nothing stood on.
    """

    bed: Bed
    laid_out: bool
    earned: int | None
    missing: str
    stood: Sequence[Stood]
    bare_bp: int

    @property
    def without(self) -> bool:
        """Whether nothing of the season stood in it, so that it has nothing to tell."""
        return self.earned is None and not self.missing

    @property
    def per_m2(self) -> int | None:
        """What each m2 of the bed earned."""
        return None if self.earned is None else proportion(self.earned, 100, int(self.bed.area_m2 * 100))

    @cached_property
    def plantings(self) -> list[Planting]:
        """What stood in it, each once."""
        return list({one.planting.pk: one.planting for one in self.stood if one.of_season}.values())

    def on(self, day: date) -> list[Stood]:
        """What stood in it that day."""
        return [one for one in self.stood if one.first <= day < one.end]


@dataclass(frozen=True)
class BedPlan:
    """The beds of all plots in one season, from the `first` to the `last` day drawn."""

    season: int
    first: date
    last: date
    plots: Sequence[PlotPlan]
    beds: Mapping[int, BedEarned]

    @property
    def earned(self) -> int:
        """What the beds that can be told earned together."""
        return sum(bed.earned or 0 for bed in self.beds.values())

    @property
    def months(self) -> list[date]:
        """The middle of every month drawn."""
        days = [self.first.replace(day=15)]
        while days[-1] <= self.last:
            days.append((days[-1] + timedelta(days=31)).replace(day=15))
        return [day for day in days if self.first <= day <= self.last]

    @property
    def amounts(self) -> list[int]:
        """Every figure a colour stands for."""
        stood = [one.per_m2 for bed in self.beds.values() for one in bed.stood]
        return [one for one in [*stood, *(bed.per_m2 for bed in self.beds.values())] if one is not None]


def bed_plan(season: int | None, on: date) -> BedPlan:
    """What the beds earned in a season (None: the latest with stems) as known on a day."""
    made = book(on)
    wanted = season if season is not None else latest_season(made)
    rows = bed_earnings(wanted, on)
    first, last = season_bounds(wanted, first_month=made.facts.calendar.season_first_month)
    stays = [stay for stay in bed_stays() if stay.first <= on]
    first, last = _days_drawn(stays, rows, first, min(last, on))
    stood = _stood(stays, rows, first, last)
    beds = list(Bed.objects.of_plots())
    plots = sorted(plot_plans(sorted(beds, key=lambda bed: bed.pk)), key=lambda one: -one.patch.wide)
    laid = {one.bed.pk: one.laid_out for plot in plots for one in plot.beds}
    earned, days = _earned(rows), (last - first).days + 1
    return BedPlan(wanted, first, last, plots, {
        one.bed.pk: _bed(one.bed, laid[one.bed.pk], earned.get(one.bed.pk, (None, "")), stood[one.bed.pk], days)
        for plot in plots for one in plot.beds
    })


def _days_drawn(stays: Sequence[Stay], rows: Sequence[Earned], first: date, last: date) -> tuple[date, date]:
    """The season, begun earlier where one of its annuals stood before."""
    annuals = {row.planting.pk for row in rows if not row.planting.perennial}
    begun = [stay.first for stay in stays if stay.planting in annuals]
    return min([first, *begun]), max(first, last)


def _earned(rows: Sequence[Earned]) -> dict[int, tuple[int | None, str]]:
    """bed -> what it earned in whole minor units, None where any of it is missing, and why; they add up."""
    groups = [group for group in grouped(rows, "bed") if group.key[1]]
    said = [group for group in groups if not _missing(group)]
    amounts = dict(zip([group.key[1] for group in said], printed([group.figures.earned for group in said]), strict=True))
    return {group.key[1]: (amounts.get(group.key[1]), _missing(group)) for group in groups}


def _missing(group: Group) -> str:
    return next((part.of.missing for part in group.parts if part.of.missing), "")


def _stood(stays: Sequence[Stay], rows: Sequence[Earned], first: date, last: date) -> Mapping[int, list[Stood]]:
    """What stood in each bed on the days drawn."""
    of_season = {row.planting.pk: row for row in rows}
    there = [stay for stay in stays if stay.first <= last and (stay.end is None or stay.end > first)]
    plantings = Planting.objects.whole().in_bulk({stay.planting for stay in there})
    found: dict[int, list[Stood]] = defaultdict(list)
    for stay in there:
        row = of_season.get(stay.planting)
        missing = row.missing if row else ""
        per_m2 = None if row is None or missing or row.per_m2 is None else to_minor(row.per_m2)
        end = min(stay.end, last + ONE_DAY) if stay.end else last + ONE_DAY
        found[stay.bed].append(
            Stood(
                plantings[stay.planting], stay.bed, stay.area, max(stay.first, first), end, stay.first, stay.end, per_m2, missing,
                row is not None,
            )
        )
    return found


def _bed(bed: Bed, laid_out: bool, earned: tuple[int | None, str], stood: Sequence[Stood], days: int) -> BedEarned:
    held = sum(int(one.area * 100) * (one.end - one.first).days for one in stood)
    whole = int(bed.area_m2 * 100) * days
    return BedEarned(bed, laid_out, *earned, stood, proportion(10_000, max(whole - held, 0), whole))
