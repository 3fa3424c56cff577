"""The facts of the path read as plain numbers, in a fixed number of queries."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from ledger.daybook.models import YearOfSpace
from ledger.drying.models import Disaster, Hanging, LossNorm, Place, TakingDown
from ledger.facts.models import CostObject, Fact
from ledger.facts.queries import holding
from ledger.growing.models import Clearing, Expectation, Lot, Parting, Planting, Plot
from ledger.reckoning import book as bk
from ledger.reckoning.sharing import MILLION
from ledger.stock.models import Batch, Movement, RunInput

from .spending import spending_as_of


def read_facts(on: date, known: datetime | None = None) -> bk.CostFacts:
    """All the facts of the path up to a day, as known at a moment (None: now)."""
    spending, unbooked = spending_as_of(on, known)
    kept = holding()
    norms = _norms(on, known)
    return bk.CostFacts(
        on=on,
        calendar=bk.Calendar(kept.year_end_month, kept.year_end_day, kept.season_first_month),
        kinds_of=dict(CostObject.objects.values_list("pk", "kind")),
        spending=spending,
        unbooked=unbooked,
        spaces=_spaces(on, known),
        plantings=_plantings(on, known),
        lots=[bk.LotFact(*row) for row in _rows(Lot, on, known, "pk", "planting_id", "on", "stems")],
        partings=[bk.PartingFact(*row) for row in _rows(Parting, on, known, "pk", "lot_id", "on", "way", "stems")],
        hangings=_hangings(on, known, norms),
        runs=_runs(on, known),
        movements=_movements(on, known),
    )


def _rows(model: type[Fact], on: date, known: datetime | None, *fields: str) -> Iterable[tuple[Any, ...]]:
    return model.objects.as_of(on, known).order_by("on", "pk").values_list(*fields)


def hundredths(area: Decimal | None) -> int:
    """An area in whole hundredths of m2, nil where there is none."""
    return int((area or 0) * 100)


def _spaces(on: date, known: datetime | None) -> list[bk.SpaceFact]:
    years: dict[int, dict[int, tuple[int, int]]] = defaultdict(dict)
    for space, year, cost, normal in _rows(
        YearOfSpace, on, known, "space_id", "year", "expected_cost", "normal_unit_days"
    ):
        years[space][year] = (cost * MILLION, normal)
    plots = [
        bk.SpaceFact(pk, "plot", hundredths(area), years[pk])
        for pk, area in Plot.objects.order_by("pk").values_list("pk", "area_m2")
    ]
    places = [
        bk.SpaceFact(pk, "place", room, years[pk]) for pk, room in Place.objects.order_by("pk").values_list("pk", "room")
    ]
    return plots + places


def _plantings(on: date, known: datetime | None) -> list[bk.PlantingFact]:
    cleared = dict(_rows(Clearing, on, known, "planting_id", "on"))
    expected: dict[int, dict[int, tuple[int, int | None]]] = defaultdict(dict)
    for planting, season, stems, planned in _rows(
        Expectation, on, known, "planting_id", "season", "stems", "planned_cost"
    ):
        expected[planting][season] = (stems, planned)
    fields = ("pk", "bed__plot_id", "on", "area_m2", "season", "perennial", "productive_seasons")
    return [
        bk.PlantingFact(
            key=pk, plot=plot, on=day, cleared=cleared.get(pk), area=hundredths(area), season=season,
            perennial=perennial, productive_seasons=seasons, expected=expected[pk],
        )
        for pk, plot, day, area, season, perennial, seasons in _rows(Planting, on, known, *fields)
    ]


def _norms(on: date, known: datetime | None) -> dict[int, int]:
    """The usual loss in force, by variety."""
    return dict(_rows(LossNorm, on, known, "variety_id", "share_bp"))


def _hangings(on: date, known: datetime | None, norms: dict[int, int]) -> list[bk.HangingFact]:
    takings: dict[int, list[tuple[date, int, int]]] = defaultdict(list)
    for hanging, day, stems, sound in _rows(TakingDown, on, known, "hanging_id", "on", "stems", "sound"):
        takings[hanging].append((day, stems, sound))
    marked = dict(_rows(Disaster, on, known, "hanging_id", "norm_bp"))
    fields = ("pk", "parting_id", "place_id", "on", "stems", "room", "parting__lot__planting__variety_id")
    return [
        bk.HangingFact(
            pk, parting, place, day, stems, room,
            norm_bp=norms.get(variety, 0), disaster_bp=marked.get(pk), takings=takings[pk],
        )
        for pk, parting, place, day, stems, room, variety in _rows(Hanging, on, known, *fields)
    ]


def _runs(on: date, known: datetime | None) -> list[bk.RunFact]:
    batches: dict[int, list[bk.BatchFact]] = defaultdict(list)
    days: dict[int, date] = {}
    fields = ("run_id", "run__on", "pk", "line_id", "made", "stems", "unit_value")
    for run, day, pk, line, made, stems, value in _rows(Batch, on, known, *fields):
        days[run] = day
        batches[run].append(bk.BatchFact(pk, line, made, stems, None if value is None else value * MILLION))
    inputs: dict[int, list[tuple[str, int, int]]] = defaultdict(list)
    for run, hanging, stems in RunInput.objects.filter(run__in=days).order_by("pk").values_list(
        "run_id", "hanging_id", "stems"
    ):
        inputs[run].append(("hanging", hanging, stems))
    return [bk.RunFact(run, day, inputs[run], batches[run]) for run, day in days.items()]


def _movements(on: date, known: datetime | None) -> list[bk.MovementFact]:
    fields = ("pk", "on", "batch_id", "bunches", "kind", "brings_back_id")
    rows = Movement.objects.as_of(on, known).exclude(kind=Movement.Kind.MOVED).order_by("on", "pk")
    return [bk.MovementFact(*row) for row in rows.values_list(*fields)]


