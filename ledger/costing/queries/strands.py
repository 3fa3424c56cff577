"""The stems of chosen lots followed through the runs that used them, to where their bunches are.

Stems that go into one run with others are no longer told apart: what comes of
a run is shared by stems, by largest remainder, so that every stem is somewhere.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from ledger.growing.models import Parting
from ledger.reckoning.sharing import share_out
from ledger.stock.models import Batch, Movement, Run, RunInput

ON_HAND = "on_hand"


@dataclass
class RunStrand:
    """One run: of the chosen stems so many came, were lost, and are in each batch.

    `loose`: those that came loose, not in bunches; `whole`: all stems that came, others' too.
    """

    key: int
    kind: str
    on: date
    came: int
    loose: int = 0
    whole: int = 0
    lost: int = 0
    made: dict[int, int] = field(default_factory=dict)


@dataclass
class Strands:
    """All runs the chosen stems went through, and how many stems of bunches are where (a kind of movement, or on hand)."""

    runs: list[RunStrand] = field(default_factory=list)
    ended: Counter[str] = field(default_factory=Counter)


def follow(lots: Collection[int], on: date) -> Strands:
    """Follow the stems of these lots as of a day, in a fixed number of queries."""
    loose, batches, gone = _loose(on, lots), _batches(on), _gone(on)
    found = Strands()
    reworked: Counter[int] = Counter()
    for run, kind, day, lost in Run.objects.standing_on(on).order_by("on", "pk").values_list("pk", "kind", "on", "lost"):
        strand = RunStrand(run, kind, day, loose[run] + reworked[run], loose[run])
        if strand.came:
            found.runs.append(strand)
            _make(strand, lost, batches[run])
            _end(strand, gone, found.ended, reworked)
    return found


def _make(strand: RunStrand, lost: int, batches: Sequence[tuple[int, int]]) -> None:
    """Share what came over a bunching's or rework's batches and loss; made-up goods are no longer stems."""
    if strand.kind in {Run.Kind.BUNCHING, Run.Kind.REWORK}:
        strand.whole = sum(stems for _, stems in batches) + lost
        *made, strand.lost = share_out(strand.came, [*(stems for _, stems in batches), lost])
        strand.made = {batch: part for (batch, _), part in zip(batches, made, strict=True)}


def _end(strand: RunStrand, gone: Mapping[int, Counter[str | int]], ended: Counter[str], reworked: Counter[int]) -> None:
    """Share each batch's stems over where its bunches are; those a rework used go on with it."""
    for batch, stems in strand.made.items():
        places = list(gone[batch])
        for place, part in zip(places, share_out(stems, [gone[batch][place] for place in places]), strict=True):
            if isinstance(place, int):
                reworked[place] += part
            else:
                ended[place] += part


def _loose(on: date, lots: Collection[int]) -> Counter[int]:
    """Loose stems of these lots in each run; fresh ones left the way at their parting."""
    fields = ("run_id", "stems", "hanging__parting__lot_id", "parting__lot_id", "oddments__hanging__parting__lot_id")
    chosen, found = set(lots), Counter[int]()
    rows = RunInput.objects.filter(run__in=Run.objects.standing_on(on)).exclude(parting__way=Parting.Way.MADE_UP)
    for run, stems, *of in rows.values_list(*fields):
        if any(lot in chosen for lot in of):
            found[run] += stems
    return found


def _batches(on: date) -> Mapping[int, list[tuple[int, int]]]:
    found: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for run, batch, stems in Batch.objects.standing_on(on).order_by("pk").values_list("run_id", "pk", "stems"):
        found[run].append((batch, stems))
    return found


def _gone(on: date) -> Mapping[int, Counter[str | int]]:
    """Where each batch's bunches are: on hand, gone by a kind of movement, or in a rework, by its number."""
    rows = Movement.objects.standing_on(on).exclude(kind=Movement.Kind.MOVED).order_by("on", "pk")
    found: dict[int, Counter[str | int]] = defaultdict(Counter)
    went: dict[int, str | int] = {}
    for pk, batch, bunches, kind, back, run, run_kind in rows.values_list(
        "pk", "batch_id", "bunches", "kind", "brings_back_id", "run_id", "run__kind"
    ):
        found[batch][ON_HAND] += bunches
        if bunches < 0:
            went[pk] = run if run_kind == Run.Kind.REWORK else kind
            found[batch][went[pk]] -= bunches
        elif back in went:
            found[batch][went[back]] -= bunches
    return found
