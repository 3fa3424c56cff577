"""Hangings with their takings down, and the oddments kept of what was lost."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime

from ledger.drying.models import Disaster, Hanging, LossNorm, Oddments, TakingDown
from ledger.reckoning import book as bk
from ledger.reckoning.loss import learnt_norm
from ledger.reckoning.sharing import MILLION

from .rows import rows_as_of


def hangings_as_of(on: date, known: datetime | None) -> list[bk.HangingFact]:
    """Every hanging; its norm is the usual loss entered for its variety, else what earlier hangings teach."""
    takings: dict[int, list[tuple[date, int, int]]] = defaultdict(list)
    for hanging, day, stems, sound in rows_as_of(TakingDown, on, known, "hanging_id", "on", "stems", "sound"):
        takings[hanging].append((day, stems, sound))
    marked = dict(rows_as_of(Disaster, on, known, "hanging_id", "norm_bp"))
    fields = (
        "pk", "parting_id", "place_id", "on", "stems", "room", "moved_from_id", "trial",
        "parting__lot__planting__variety_id",
    )
    hangings, variety_of, trials = [], {}, set()
    for pk, parting, place, day, stems, room, moved_from, trial, variety in rows_as_of(Hanging, on, known, *fields):
        hangings.append(
            bk.HangingFact(
                pk, parting, place, day, stems, room, disaster_bp=marked.get(pk), takings=takings[pk], moved_from=moved_from
            )
        )
        variety_of[pk] = variety
        if trial:
            trials.add(pk)
    entered = dict(rows_as_of(LossNorm, on, known, "variety_id", "share_bp"))
    learning = [one for one in bk.with_moves(hangings) if one.key not in trials]
    norms = {**_learnt(learning, variety_of), **entered}
    return [replace(one, norm_bp=norms.get(variety_of[one.key], 0)) for one in hangings]


def _learnt(hangings: Sequence[bk.HangingFact], variety_of: Mapping[int, int]) -> dict[int, int]:
    """What the finished hangings of each variety that are no disaster lost, in basis points of stems hung."""
    counts: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for one in hangings:
        if one.disaster_bp is None and one.last_day_up is not None:
            counts[variety_of[one.key]].append((one.stems - one.moved, one.down - one.sound))
    learnt = {variety: learnt_norm(rows) for variety, rows in counts.items()}
    return {variety: norm for variety, norm in learnt.items() if norm is not None}


def oddments_as_of(on: date, known: datetime | None) -> list[bk.OddmentsFact]:
    """Oddments kept of what hangings lost."""
    rows = rows_as_of(Oddments, on, known, "pk", "hanging_id", "on", "stems", "value")
    return [bk.OddmentsFact(pk, hanging, day, stems, value * MILLION) for pk, hanging, day, stems, value in rows]
