"""Where the beds of the plots lie, and what stood in each from day to day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from ledger.reckoning.plan import Patch, bed_patch, outline, side_by_side

from .ground import NOTHING, Step, all_steps

if TYPE_CHECKING:
    from ..models import Bed, Plot


@dataclass(frozen=True)
class BedOnPlan:
    """A bed and where it lies on the plan of its plot; `laid_out` False where nobody said."""

    bed: Bed
    patch: Patch
    laid_out: bool


@dataclass(frozen=True)
class PlotPlan:
    """A plot drawn from its front left corner; beds nobody laid out stand in a row by their area.

    Where others of the plot are laid out, that row lies behind the plot and `behind` is its outline.
    """

    plot: Plot
    patch: Patch
    beds: Sequence[BedOnPlan]
    behind: Patch | None = None

    @property
    def unlaid(self) -> list[Bed]:
        """The beds nobody laid out."""
        return [one.bed for one in self.beds if not one.laid_out]


@dataclass(frozen=True)
class Stay:
    """An area of a bed a planting held from a day up to, not including, another (None: it still stands), in m2."""

    planting: int
    bed: int
    area: Decimal
    first: date
    end: date | None


def place_of(bed: Bed) -> Patch | None:
    """Where a bed lies on its plot, None where nobody laid it out."""
    if bed.left_m is None or bed.front_m is None or bed.long_m is None:
        return None
    return bed_patch(bed.area_m2, left=bed.left_m, front=bed.front_m, long=bed.long_m, across=bed.across)


def plot_plan(plot: Plot, beds: Iterable[Bed]) -> PlotPlan:
    """A plot with its beds, in the order given."""
    around, known = outline(plot.area_m2, plot.wide_m), list(beds)
    placed = {bed.pk: place for bed in known if (place := place_of(bed)) is not None}
    unlaid = [bed for bed in known if bed.pk not in placed]
    behind = _behind(around, unlaid) if placed and unlaid else None
    row = dict(zip([bed.pk for bed in unlaid], side_by_side([bed.area_m2 for bed in unlaid], behind or around), strict=True))
    return PlotPlan(plot, around, [BedOnPlan(bed, (placed | row)[bed.pk], bed.pk in placed) for bed in known], behind)


def _behind(around: Patch, unlaid: Sequence[Bed]) -> Patch:
    """A strip as wide as the plot, a metre behind it, as large as the beds in it."""
    area = sum((bed.area_m2 for bed in unlaid), NOTHING)
    strip = outline(area, None)
    return Patch(around.left, around.back + 1, around.wide, strip.area / around.wide)


def plot_plans(beds: Iterable[Bed]) -> list[PlotPlan]:
    """The plots of beds read with their plots, in the order of the beds."""
    found: dict[int, list[Bed]] = defaultdict(list)
    for bed in beds:
        found[bed.plot_id].append(bed)
    return [plot_plan(of_plot[0].plot, of_plot) for of_plot in found.values()]


def bed_stays() -> list[Stay]:
    """What stood in every bed from day to day, by bed, first day and planting, in a fixed number of queries."""
    steps: dict[tuple[int, int], list[Step]] = defaultdict(list)
    for step in all_steps():
        steps[step.planting, step.bed].append(step)
    stays = [stay for (planting, bed), of_both in steps.items() for stay in _stays(planting, bed, of_both)]
    return sorted(stays, key=lambda stay: (stay.bed, stay.first, stay.planting))


def _stays(planting: int, bed: int, steps: Sequence[Step]) -> Iterable[Stay]:
    """A stay for each stretch in which the area did not change."""
    cleared = steps[0].cleared
    days = sorted({step.on for step in steps if cleared is None or step.on < cleared})
    for place, day in enumerate(days):
        area = sum((step.area for step in steps if step.on <= day), NOTHING)
        if area > 0:
            yield Stay(planting, bed, area, day, days[place + 1] if place + 1 < len(days) else cleared)
