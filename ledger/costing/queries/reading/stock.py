"""Runs with what went in and came out, and the stock book."""

from collections import defaultdict
from datetime import date, datetime

from ledger.reckoning import book as bk
from ledger.reckoning.sharing import MILLION
from ledger.stock.models import Batch, Movement, Run, RunInput

from .rows import rows_as_of


def runs_as_of(on: date, known: datetime | None) -> list[bk.RunFact]:
    """Every run: stems in, batches out."""
    batches: dict[int, list[bk.BatchFact]] = defaultdict(list)
    for run, pk, line, made, stems, value in rows_as_of(
        Batch, on, known, "run_id", "pk", "line_id", "made", "stems", "unit_value"
    ):
        batches[run].append(bk.BatchFact(pk, line, made, stems, None if value is None else value * MILLION))
    inputs = _inputs(on, known)
    return [
        bk.RunFact(pk, day, inputs[pk], batches[pk], bought_in=kind == Run.Kind.BOUGHT_IN)
        for pk, day, kind in rows_as_of(Run, on, known, "pk", "on", "kind")
    ]


def _inputs(on: date, known: datetime | None) -> dict[int, list[tuple[str, int, int]]]:
    """Loose stems each run used, by kind and number of what they came from."""
    inputs: dict[int, list[tuple[str, int, int]]] = defaultdict(list)
    rows = RunInput.objects.filter(run__in=Run.objects.as_of(on, known)).order_by("pk")
    for run, hanging, parting, oddments, stems in rows.values_list(
        "run_id", "hanging_id", "parting_id", "oddments_id", "stems"
    ):
        named = (("hanging", hanging), ("parting", parting), ("oddments", oddments))
        inputs[run] += [(kind, number, stems) for kind, number in named if number is not None]
    return inputs


def movements_as_of(on: date, known: datetime | None) -> list[bk.MovementFact]:
    """The stock book, moves between boxes left out."""
    fields = ("pk", "on", "batch_id", "bunches", "kind", "brings_back_id", "run_id")
    rows = Movement.objects.as_of(on, known).exclude(kind=Movement.Kind.MOVED).order_by("on", "pk")
    return [bk.MovementFact(*row) for row in rows.values_list(*fields)]
