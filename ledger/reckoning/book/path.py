"""From lots through hangings and runs to batches."""

from collections import defaultdict

from ledger.reckoning.joint import split_joint
from ledger.reckoning.loss import hanging_release

from .amounts import Amounts, parted
from .facts import CostFacts, Element, HangingFact, Key, LotFact, PartingFact, RunFact
from .graph import Graph

PLACE_OF_WAY = {"sold_fresh": "cost of sales", "drawn": "drawn", "cut_dry": "loose"}


def part_lots(graph: Graph, facts: CostFacts) -> None:
    """Share every lot's cost over what became of its stems, by stems."""
    hanging_of = {one.parting: one.key for one in facts.hangings}
    partings: dict[int, list[PartingFact]] = defaultdict(list)
    for one in sorted(facts.partings, key=lambda parting: (parting.on, parting.key)):
        partings[one.lot].append(one)
    for lot in facts.lots:
        _part(graph, lot, partings[lot.key], hanging_of)


def _part(graph: Graph, lot: LotFact, partings: list[PartingFact], hanging_of: dict[int, int]) -> None:
    """Thrown out is borne by the rest; if nothing is left it is written off."""
    key: Key = ("lot", lot.key)
    graph.node(key).quantity = lot.stems
    kept = [one for one in partings if one.way != "thrown_out"]
    in_water = lot.stems - sum(one.stems for one in partings)
    weights = [*(one.stems for one in kept), in_water]
    carried = graph.node(key).carried
    if not sum(weights):
        graph.rest(key, "written off", carried, lot.stems, on=partings[-1].on, event=("parting", partings[-1].key))
        return
    *shares, rest = parted(carried, weights)
    for one, share in zip(kept, shares, strict=True):
        if one.key in hanging_of:
            graph.flow(key, ("hanging", hanging_of[one.key]), share, one.stems, sum(weights), "stems")
        else:
            on = one.on if one.way in {"sold_fresh", "drawn"} else None
            graph.rest(key, PLACE_OF_WAY.get(one.way, "hanging"), share, one.stems, on=on, event=("parting", one.key))
    graph.rest(key, "in water", rest, in_water)


def take_down_hangings(graph: Graph, facts: CostFacts) -> None:
    """Let sound stems bear what their hanging carries; part them over the runs that used them."""
    used: dict[int, list[tuple[RunFact, int]]] = defaultdict(list)
    for run in sorted(facts.runs, key=lambda one: (one.on, one.key)):
        for hanging, stems in run.inputs:
            used[hanging].append((run, stems))
    for one in facts.hangings:
        _take_down(graph, one, used[one.key])


def _take_down(graph: Graph, hanging: HangingFact, used: list[tuple[RunFact, int]]) -> None:
    key: Key = ("hanging", hanging.key)
    node = graph.node(key)
    node.quantity = hanging.sound
    node.final = node.final and hanging.down == hanging.stems
    borne, written_off, up = _released(hanging, node.carried)
    last = hanging.last_day_up
    graph.rest(key, "written off", written_off, hanging.down - hanging.sound if written_off else 0, on=last, event=key)
    graph.rest(key, "hanging", up, hanging.stems - hanging.down)
    loose = hanging.sound - sum(stems for _, stems in used)
    *shares, rest = parted(borne, [*(stems for _, stems in used), loose])
    for (run, stems), share in zip(used, shares, strict=True):
        graph.flow(key, ("run", run.key), share, stems, hanging.sound, "stems")
    graph.rest(key, "loose", rest, loose)


def _released(hanging: HangingFact, carried: Amounts) -> tuple[dict[Element, int], dict[Element, int], dict[Element, int]]:
    disaster = hanging.disaster_bp is not None
    norm = hanging.norm_bp if hanging.disaster_bp is None else hanging.disaster_bp
    parts: tuple[dict[Element, int], dict[Element, int], dict[Element, int]] = ({}, {}, {})
    for element, amount in carried.items():
        released = hanging_release(
            amount,
            hung=hanging.stems,
            sound=hanging.sound,
            lost=hanging.down - hanging.sound,
            norm_bp=norm,
            disaster=disaster,
        )
        for part, share in zip(parts, released, strict=True):
            if share:
                part[element] = share
    return parts


def bunch_runs(graph: Graph, facts: CostFacts) -> None:
    """Split every run's cost over its batches, by kept values or by stems."""
    for run in facts.runs:
        _bunch(graph, run)


def _bunch(graph: Graph, run: RunFact) -> None:
    key: Key = ("run", run.key)
    node = graph.node(key)
    stems = [batch.stems for batch in run.batches]
    node.quantity = sum(stems)
    values = [None if batch.unit_value is None else batch.unit_value * batch.made for batch in run.batches]
    shares: list[dict[Element, int]] = [{} for _ in run.batches]
    for element, amount in node.carried.items():
        for share, part in zip(shares, split_joint(amount, stems=stems, values=values), strict=True):
            if part:
                share[element] = part
    for batch, share in zip(run.batches, shares, strict=True):
        graph.flow(key, ("batch", batch.key), share, batch.stems, sum(stems), "stems")
