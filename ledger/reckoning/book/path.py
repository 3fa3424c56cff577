"""From lots through hangings and runs to batches."""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass

from ledger.reckoning.loss import hanging_release
from ledger.reckoning.sharing import share_out

from .amounts import Amounts, less, parted, taken_of, total
from .facts import CostFacts, Element, HangingFact, Key, LotFact, OddmentsFact, PartingFact, RunFact
from .graph import Graph

PLACE_OF_WAY = {"sold_fresh": "cost of sales", "drawn": "drawn", "made_up": "made up", "cut_dry": "loose"}


@dataclass(frozen=True)
class Used:
    """Stems that runs used, by what they came from: (kind, number) -> the runs and their stems, in order."""

    by_source: dict[tuple[str, int], list[tuple[RunFact, int]]]

    def of(self, kind: str, number: int) -> list[tuple[RunFact, int]]:
        return self.by_source.get((kind, number), [])


def used_by_runs(facts: CostFacts) -> Used:
    """What every run used of hangings, partings and oddments."""
    found: dict[tuple[str, int], list[tuple[RunFact, int]]] = defaultdict(list)
    for run in facts.runs:
        for kind, number, stems in run.inputs:
            found[kind, number].append((run, stems))
    return Used(found)


def part_lots(graph: Graph, facts: CostFacts) -> None:
    """Share every lot's cost over what became of its stems, by kept values or by stems."""
    hanging_of = {one.parting: one.key for one in facts.hangings if one.moved_from is None}
    partings: dict[int, list[PartingFact]] = defaultdict(list)
    used = used_by_runs(facts)
    for one in facts.partings:
        partings[one.lot].append(one)
    for lot in facts.lots:
        _part(graph, lot, partings[lot.key], hanging_of, used)


def _part(graph: Graph, lot: LotFact, partings: list[PartingFact], hanging_of: dict[int, int], used: Used) -> None:
    """Thrown out is borne by the rest; if nothing is left it is written off."""
    key: Key = ("lot", lot.key)
    graph.node(key).quantity = lot.stems
    kept = [one for one in partings if one.way != "thrown_out"]
    in_water = lot.stems - sum(one.stems for one in partings)
    stems = [*(one.stems for one in kept), in_water]
    carried = graph.node(key).carried
    if not sum(stems):
        graph.rest(key, "written off", carried, lot.stems, on=partings[-1].on, event=("parting", partings[-1].key))
        return
    weights, unit = _weights(lot, kept, stems)
    *shares, rest = parted(carried, weights)
    for one, weight, share in zip(kept, weights, shares, strict=False):
        if one.key in hanging_of:
            graph.flow(key, ("hanging", hanging_of[one.key]), share, weight, sum(weights), unit)
        else:
            _go_on(graph, key, one, share, used.of("parting", one.key))
    graph.rest(key, "in water", rest, in_water)


def _weights(lot: LotFact, kept: list[PartingFact], stems: list[int]) -> tuple[list[int], str]:
    """By the values kept for the split, in hundredths of a minor unit; by stems where one is missing or nil.

    Stems in water count as to be dried.
    """
    ways = [*(one.way for one in kept), *(["hung"] if stems[-1] else [])]
    if not all(lot.values.get(way, 0) > 0 for way in ways):
        return stems, "stems"
    weights = [number * lot.values.get(way, 0) for way, number in zip([*(one.way for one in kept), "hung"], stems, strict=True)]
    return weights, "worth"


def _go_on(graph: Graph, key: Key, parting: PartingFact, share: Amounts, runs: list[tuple[RunFact, int]]) -> None:
    """What left a lot other than to hang: to the runs that used it, the rest where such stems lie."""
    left = parting.stems - sum(stems for _, stems in runs)
    *parts, rest = parted(share, [*(stems for _, stems in runs), left])
    for (run, stems), part in zip(runs, parts, strict=True):
        graph.flow(key, ("run", run.key), part, stems, graph.node(key).quantity, "stems")
    on = parting.on if parting.way in {"sold_fresh", "drawn", "made_up"} else None
    graph.rest(key, PLACE_OF_WAY.get(parting.way, "hanging"), rest, left, on=on, event=("parting", parting.key))


def take_down_hangings(graph: Graph, facts: CostFacts) -> None:
    """Let sound stems bear what their hanging carries; part them over the runs that used them."""
    used = used_by_runs(facts)
    moved: dict[int, list[HangingFact]] = defaultdict(list)
    kept: dict[int, list[OddmentsFact]] = defaultdict(list)
    for one in facts.hangings:
        if one.moved_from is not None:
            moved[one.moved_from].append(one)
    for oddments in facts.oddments:
        kept[oddments.hanging].append(oddments)
    waiting = [one for one in reversed(facts.hangings) if one.moved_from is None]
    while waiting:
        one = waiting.pop()
        waiting += reversed(moved[one.key])
        _take_down(graph, one, moved[one.key], kept[one.key], used)


def _take_down(
    graph: Graph, hanging: HangingFact, moved: list[HangingFact], kept: list[OddmentsFact], used: Used
) -> None:
    key: Key = ("hanging", hanging.key)
    node = graph.node(key)
    node.quantity, up = hanging.sound, hanging.stems - hanging.down - hanging.moved
    node.final = node.final and not up
    scrap = _keep_oddments(graph, key, node.carried, kept, used)
    if hanging.disaster_bp is None:
        left = _move_on(graph, hanging, moved, less(node.carried, scrap))
        borne, written_off, hanging_still = _released(hanging, left)
    else:
        all_borne, written_off, hanging_still = _released_of_disaster(hanging, node.carried, scrap)
        borne = _move_alike(graph, hanging, moved, all_borne)
    last = hanging.last_day_up
    graph.rest(key, "written off", written_off, hanging.down - hanging.sound if written_off else 0, on=last, event=key)
    graph.rest(key, "hanging", hanging_still, up)
    _lie_loose(graph, key, borne, hanging.sound, used)


def _lie_loose(graph: Graph, key: Key, borne: Amounts, stems: int, used: Used) -> None:
    """Part what sound stems or oddments bear over the runs that used them; the rest lies loose."""
    runs = used.of(*key)
    loose = stems - sum(number for _, number in runs)
    *shares, rest = parted(borne, [*(number for _, number in runs), loose])
    for (run, number), share in zip(runs, shares, strict=True):
        graph.flow(key, ("run", run.key), share, number, stems, "stems")
    graph.rest(key, "loose", rest, loose)


def _move_on(graph: Graph, hanging: HangingFact, moved: list[HangingFact], left: Amounts) -> Amounts:
    """Hand stems moved on their part of what is left; what was lost before they went is borne by the rest alike.

    Returns what stays with those that were not moved.
    """
    key: Key = ("hanging", hanging.key)
    gone = 0
    for one in moved:
        lost = sum(stems - sound for day, stems, sound in hanging.takings if day <= one.on)
        whole = hanging.stems - lost - gone
        part = taken_of(left, left=whole, taking=one.stems)
        graph.flow(key, ("hanging", one.key), part, one.stems, whole, "stems")
        left, gone = less(left, part), gone + one.stems
    return left


def _move_alike(
    graph: Graph, hanging: HangingFact, moved: list[HangingFact], borne: Amounts
) -> dict[Element, int]:
    """Of a disaster the stems moved on bear what its sound ones bear, each the same, wherever they dried.

    Returns what those that were not moved bear.
    """
    key: Key = ("hanging", hanging.key)
    whole = hanging.sound + hanging.moved
    *parts, rest = parted(borne, [*(one.stems for one in moved), hanging.sound])
    for one, part in zip(moved, parts, strict=True):
        graph.flow(key, ("hanging", one.key), part, one.stems, whole, "stems")
    return rest


def _keep_oddments(
    graph: Graph, key: Key, carried: Amounts, kept: list[OddmentsFact], used: Used
) -> dict[Element, int]:
    """Hand oddments kept from the losses what they are worth, at most all there is; return that, by element."""
    worth = [one.value for one in kept]
    whole, elements = total(carried), list(carried)
    in_all = share_out(min(sum(worth), whole), [carried[one] for one in elements]) if whole else []
    scrap = dict(zip(elements, in_all, strict=False))
    for one, share in zip(kept, parted(scrap, worth), strict=True):
        to: Key = ("oddments", one.key)
        graph.node(to).quantity = one.stems
        graph.flow(key, to, share, one.stems, graph.node(key).quantity + sum(o.stems for o in kept), "stems")
        _lie_loose(graph, to, share, one.stems, used)
    return scrap


Released = tuple[dict[Element, int], dict[Element, int], dict[Element, int]]


def _released(hanging: HangingFact, carried: Amounts) -> Released:
    """What the sound stems that stayed bear, what is written off, and what still hangs."""
    if hanging.sound and hanging.last_day_up:
        return dict(carried), {}, {}
    counts = {"hung": hanging.stems - hanging.moved, "sound": hanging.sound, "lost": hanging.down - hanging.sound}
    return _by_element(
        carried, lambda _element, amount: hanging_release(amount, **counts, norm_bp=hanging.norm_bp, disaster=False)
    )


def _released_of_disaster(hanging: HangingFact, carried: Amounts, scrap: Amounts) -> Released:
    """The same of a marked one, where stems moved on count as sound: they are its stems still."""
    norm = hanging.disaster_bp or 0
    counts = {"hung": hanging.stems, "sound": hanging.sound + hanging.moved, "lost": hanging.down - hanging.sound}
    return _by_element(
        carried,
        lambda element, amount: hanging_release(
            amount, **counts, norm_bp=norm, disaster=True, scrap=scrap.get(element, 0)
        ),
    )


def _by_element(carried: Amounts, release: Callable[[Element, int], tuple[int, int, int]]) -> Released:
    parts: Released = ({}, {}, {})
    for element, amount in carried.items():
        for part, share in zip(parts, release(element, amount), strict=True):
            if share:
                part[element] = share
    return parts


def bunch(graph: Graph, run: RunFact) -> None:
    """Split a run's cost over its batches, by kept values or by stems."""
    key: Key = ("run", run.key)
    node = graph.node(key)
    node.quantity = whole = sum(batch.stems for batch in run.batches)
    for batch, share in zip(run.batches, parted(node.carried, run.weights), strict=True):
        graph.flow(key, ("batch", batch.key), share, batch.stems, whole, "stems")
