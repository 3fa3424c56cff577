"""Seasons of a given number of facts, written straight into the tables."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import Model
from django.utils import timezone

from ledger.daybook.models import WorkEntry, Worker, WorkerRate, WorkShare
from ledger.drying.models import Hanging, Place, TakingDown
from ledger.facts.models import CostObject, User
from ledger.growing.models import Bed, Expectation, Lot, Parting, Planting, Plot, Species, Variety
from ledger.stock.models import Balance, Batch, Content, Line, Movement, Run, RunInput

FACTS_A_LOT = 14
LOTS_A_PLANTING = 10
FIRST = date(2025, 3, 1)


def make_season(facts: int, by: User) -> None:
    """About so many facts: plantings of ten lots, each hung, taken down, bunched, partly sold, with its work."""
    with transaction.atomic():
        season = Season(by)
        for lot in range(max(1, facts // FACTS_A_LOT)):
            season.add_lot(lot)
        season.write()


class Season:
    """Rows gathered by table and written at the end, keys given out here."""

    def __init__(self, by: User) -> None:
        self.common = {"recorded_at": timezone.now(), "recorded_by": by}
        self.rows: dict[type[Model], list[Model]] = {}
        self.keys: Iterator[int] = iter(range(1_000, 100_000_000))
        self.worker = Worker.objects.create(name="Bench", paid=True)
        WorkerRate.objects.create(worker=self.worker, on=FIRST, per_hour=1200, **self.common)
        plot_key, place_key = self._object("plot"), self._object("place")
        self._flush(CostObject)
        self.plot = Plot.objects.create(cost_object=plot_key, name="Bench plot", area_m2=Decimal(100_000))
        self.place = Place.objects.create(cost_object=place_key, name="Bench loft", room=100_000)
        self.bed = Bed.objects.create(plot=self.plot, name="1", area_m2=Decimal(100_000))
        species = Species.objects.create(name="Bench stem")
        self.variety = Variety.objects.create(species=species, name="plain")
        self.line = Line.objects.create(variety=self.variety, unit="bunch", stems=10)
        self.planting: Planting | None = None

    def _object(self, kind: str) -> CostObject:
        return self._add(CostObject(pk=next(self.keys), kind=kind, label=f"{kind} of the season"))

    def _add(self, row: Any) -> Any:
        self.rows.setdefault(type(row), []).append(row)
        return row

    def _flush(self, model: type[Model]) -> None:
        model._base_manager.bulk_create(self.rows.pop(model, []), batch_size=500)

    def add_lot(self, number: int) -> None:
        if number % LOTS_A_PLANTING == 0:
            self._plant()
        on = FIRST + timedelta(60 + number % 100)
        lot = self._add(
            Lot(cost_object=self._object("lot"), planting=self.planting, on=on, stage="full", stems=100, **self.common)
        )
        parting = self._add(Parting(pk=next(self.keys), lot=lot, on=on, way="hung", stems=100, **self.common))
        hanging = self._add(
            Hanging(cost_object=self._object("hanging"), parting=parting, place=self.place, on=on, stems=100, **self.common)
        )
        self._add(TakingDown(pk=next(self.keys), hanging=hanging, on=on + timedelta(10), stems=100, sound=100, **self.common))
        self._bunch(hanging, on + timedelta(12))
        for thing in (lot, hanging):
            self._work(thing.cost_object, on)

    def _plant(self) -> None:
        self.planting = self._add(
            Planting(
                cost_object=self._object("planting"), variety=self.variety, bed=self.bed, area_m2=Decimal(1), on=FIRST,
                season=2025, **self.common,
            )
        )
        self._add(Expectation(pk=next(self.keys), planting=self.planting, on=FIRST, season=2025, stems=1000, **self.common))
        self._work(self.planting.cost_object, FIRST)

    def _bunch(self, hanging: Hanging, on: date) -> None:
        run = self._add(Run(cost_object=self._object("run"), on=on, **self.common))
        self._add(RunInput(pk=next(self.keys), run=run, hanging=hanging, stems=100))
        batch = self._add(Batch(pk=next(self.keys), run=run, line=self.line, on=on, made=10, stems=100, **self.common))
        for kind, bunches, day in (("made", 10, on), ("sold", -4, on + timedelta(5)), ("sold", -2, on + timedelta(9))):
            self._add(Movement(pk=next(self.keys), batch=batch, on=day, kind=kind, bunches=bunches, **self.common))
        self._add(Content(pk=next(self.keys), batch=batch, bunches=4))
        self._work(run.cost_object, on)

    def _work(self, spent_on: CostObject, on: date) -> None:
        entry = self._add(WorkEntry(pk=next(self.keys), worker=self.worker, on=on, minutes=20, task="growing", **self.common))
        self._add(WorkShare(pk=next(self.keys), entry=entry, spent_on=spent_on))

    def write(self) -> None:
        batches = len(self.rows.get(Batch, []))
        for model in ORDER:
            self._flush(model)
        Balance.objects.create(line=self.line, on_hand=4 * batches)


ORDER: Sequence[type[Model]] = (
    CostObject, Planting, Expectation, Lot, Parting, Hanging, TakingDown, Run, RunInput, Batch, Movement, Content,
    WorkEntry, WorkShare,
)
