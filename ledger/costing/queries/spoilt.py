"""What went on the way, and what it cost: stems thrown out, lost in drying, lost in bunching and rework.

The cost of lost stems is what their share would have been: all their hanging,
lot or run carried, by stems. Of it so much was kept as oddments, so much
written off, and the rest is borne by the sound stems beside them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from ledger.growing.models import Parting
from ledger.reckoning.book import Book, Key, Node, total
from ledger.reckoning.sharing import share_out
from ledger.reckoning.taking import proportion
from ledger.stock.models import Batch, Run

from .hung import Hung
from .strands import RunStrand, Strands

THROWN_OUT, BUNCHING, REWORK = "thrown_out", "bunching", "rework"
STEMS_FROM = {"hanging", "lot", "oddments", "batch"}


@dataclass(frozen=True)
class Cost:
    """What lost stems would have cost, in millionths: borne by the sound ones, written off, kept as oddments."""

    borne: int = 0
    written_off: int = 0
    kept: int = 0

    def parted(self, weights: Sequence[int]) -> list[Cost]:
        """Return it parted by weights."""
        parts = (share_out(one, weights) for one in (self.borne, self.written_off, self.kept))
        return [Cost(*three) for three in zip(*parts, strict=True)]


@dataclass(frozen=True)
class Went:
    """So many of `of` stems went, for one reason, of one hanging, lot or run (`key`).

    `known` is False while it is too early to say what such stems cost, `final`
    while later facts may still change it. `hung`: where it hung; `made`: the
    finish of the line it would have been.
    """

    key: Key
    reason: str
    of: int
    stems: int
    cost: Cost
    known: bool
    final: bool
    hung: Hung | None = None
    made: str = ""


def lost_in_drying(book: Book, hangings: Iterable[Hung]) -> list[Went]:
    """A row for each hanging and reason; one without reason or stems for a hanging that lost none."""
    return [went for one in hangings if one.down for went in _of_hanging(book.node(("hanging", one.key)), one)]


def _of_hanging(node: Node, one: Hung) -> Iterable[Went]:
    reasons = list(one.losses) or [("", 0)]
    costs = cost_of_lost(node, one.lost, one.stems).parted([stems for _, stems in reasons]) if one.lost else [Cost()]
    for place, ((reason, stems), cost) in enumerate(zip(reasons, costs, strict=True)):
        yield Went(node.key, reason, 0 if place else one.down, stems, cost, node.known, node.final, hung=one)


def cost_of_lost(node: Node, lost: int, of: int) -> Cost:
    """What `lost` of the `of` stems of a hanging or lot would have cost, and what became of it."""
    share = proportion(total(node.carried), lost, of) if of else 0
    written_off = sum(total(at.amounts) for at in node.standings if at.place == "written off")
    kept = sum(total(flow.amounts) for flow in node.outflows if flow.target[0] == "oddments")
    return Cost(share - written_off - kept, written_off, kept)


def thrown_out(book: Book, lots: Collection[int], on: date) -> list[Went]:
    """A row for each of these lots of which stems were thrown out at the cut."""
    rows = Parting.objects.standing_on(on).filter(way=Parting.Way.THROWN_OUT).order_by("on", "pk")
    thrown: dict[int, int] = {}
    cut: dict[int, int] = {}
    for lot, stems, of in rows.values_list("lot_id", "stems", "lot__stems"):
        if lot in lots:
            thrown[lot], cut[lot] = thrown.get(lot, 0) + stems, of
    found = []
    for lot, stems in thrown.items():
        node = book.node(("lot", lot))
        cost = cost_of_lost(node, stems, cut[lot])
        found.append(Went(node.key, THROWN_OUT, cut[lot], stems, cost, node.known, node.final))
    return found


def lost_in_runs(book: Book, strands: Strands, on: date) -> list[Went]:
    """A row for each run and finish made of it; the cost is what came with the stems, not the bench's own work."""
    finish = dict(Batch.objects.standing_on(on).values_list("pk", "line__finish"))
    losing = {Run.Kind.BUNCHING: BUNCHING, Run.Kind.REWORK: REWORK}
    return [
        went for run in strands.runs if run.kind in losing
        for went in _of_run(book.node(("run", run.key)), run, losing[Run.Kind(run.kind)], finish)
    ]


def _of_run(node: Node, run: RunStrand, reason: str, finish: Mapping[int, str]) -> Iterable[Went]:
    """Ours of the run's loss: all of it where only ours went in, else by stems."""
    came_with = sum(total(flow.amounts) for flow in node.inflows if flow.source[0] in STEMS_FROM)
    made: dict[str, int] = {}
    for batch, stems in run.made.items():
        made[finish[batch]] = made.get(finish[batch], 0) + stems
    names = sorted(made)
    weights = [made[name] for name in names] if sum(made.values()) else [1] * len(names)
    lost = share_out(run.lost, weights)
    cost = Cost(borne=proportion(came_with, run.lost, run.whole)) if run.lost else Cost()
    for name, stems, part in zip(names, lost, cost.parted(lost), strict=True):
        yield Went(node.key, reason, made[name] + stems, stems, part, node.known, node.final, made=name)
