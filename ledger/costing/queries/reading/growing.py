"""Plantings on their ground, lots, and what left the lots."""

from collections import defaultdict
from datetime import date, datetime

from ledger.growing.models import (
    Clearing,
    CutOver,
    CutValue,
    Division,
    Expectation,
    Life,
    Lot,
    PartCleared,
    Parting,
    PlantedOut,
    Planting,
)
from ledger.reckoning import book as bk

from .rows import hundredths, rows_as_of


def plantings_as_of(on: date, known: datetime | None) -> list[bk.PlantingFact]:
    """Every planting with all that was since said of it."""
    cleared = dict(rows_as_of(Clearing, on, known, "planting_id", "on"))
    expected, ground = _expected(on, known), _ground(on, known)
    lives: dict[int, list[tuple[date, int]]] = defaultdict(list)
    for planting, day, seasons in rows_as_of(Life, on, known, "planting_id", "on", "productive_seasons"):
        lives[planting].append((day, seasons))
    cut_over: dict[int, list[date]] = defaultdict(list)
    for planting, day in rows_as_of(CutOver, on, known, "planting_id", "on"):
        cut_over[planting].append(day)
    divisions: dict[int, list[bk.Division]] = defaultdict(list)
    for planting, *row in rows_as_of(Division, on, known, "planting_id", "daughter_id", "on", "parts", "of_parts"):
        divisions[planting].append(bk.Division(*row))
    fields = ("pk", "bed__plot_id", "on", "area_m2", "season", "perennial", "productive_seasons")
    return [
        bk.PlantingFact(
            key=pk, plot=plot, on=day, cleared=cleared.get(pk), area=hundredths(area), season=season,
            perennial=perennial, productive_seasons=seasons, expected=expected[pk], ground=ground[pk], lives=lives[pk],
            cut_over=cut_over[pk], divisions=divisions[pk],
        )
        for pk, plot, day, area, season, perennial, seasons in rows_as_of(Planting, on, known, *fields)
    ]


def _expected(on: date, known: datetime | None) -> dict[int, dict[int, tuple[int, int | None]]]:
    expected: dict[int, dict[int, tuple[int, int | None]]] = defaultdict(dict)
    rows = rows_as_of(Expectation, on, known, "planting_id", "season", "stems", "planned_cost")
    for planting, season, stems, planned in rows:
        expected[planting][season] = (stems, planned)
    return expected


def _ground(on: date, known: datetime | None) -> dict[int, list[bk.Ground]]:
    """Beds taken after the first, and parts cleared."""
    ground: dict[int, list[bk.Ground]] = defaultdict(list)
    for model, sign in ((PlantedOut, 1), (PartCleared, -1)):
        for planting, plot, day, area in rows_as_of(model, on, known, "planting_id", "bed__plot_id", "on", "area_m2"):
            ground[planting].append(bk.Ground(plot, day, sign * hundredths(area)))
    return ground


def lots_as_of(on: date, known: datetime | None) -> list[bk.LotFact]:
    """Every lot with the values kept for its split."""
    values: dict[int, dict[str, int]] = defaultdict(dict)
    for lot, way, per_hundred in rows_as_of(CutValue, on, known, "lot_id", "way", "per_hundred"):
        values[lot][way] = per_hundred
    rows = rows_as_of(Lot, on, known, "pk", "planting_id", "on", "stems")
    return [bk.LotFact(pk, planting, day, stems, values.get(pk, {})) for pk, planting, day, stems in rows]


def partings_as_of(on: date, known: datetime | None) -> list[bk.PartingFact]:
    """Everything that left a lot."""
    return [bk.PartingFact(*row) for row in rows_as_of(Parting, on, known, "pk", "lot_id", "on", "way", "stems")]
