"""From lots through hangings and runs to batches and out: shares by stems, worth and bunches."""

from collections import defaultdict

from ledger.reckoning.book import BatchFact, CostFacts, HangingFact, LotFact, MovementFact, OddmentsFact, PartingFact

from .system import Node, Share, System, Totals

WAYS = {"sold_fresh": "cost of sales", "drawn": "drawn", "made_up": "made up", "cut_dry": "loose", "hung": "hanging"}
KINDS = {"sold": "cost of sales", "made_up": "made up", "drawn": "drawn", "written_off": "written off"}
WHOLE = 10_000
Used = dict[Node, list[tuple[int, int]]]


def follow(system: System, facts: CostFacts) -> None:
    """Write down every lot, hanging, run and batch."""
    used: Used = defaultdict(list)
    for run in facts.runs:
        for kind, number, stems in run.inputs:
            used[kind, number].append((run.key, stems))
    for lot in facts.lots:
        _part(system, facts, lot, used)
    for hanging in facts.hangings:
        _take_down(system, facts, hanging, used)
    for run in facts.runs:
        _bunch(system, run.key, run.batches)
        for batch in run.batches:
            _sell(system, batch, [one for one in facts.movements if one.batch == batch.key])


def _part(system: System, facts: CostFacts, lot: LotFact, used: Used) -> None:
    """By worth where every way has one, else by stems; what was thrown out takes nothing."""
    node: Node = ("lot", lot.key)
    gone = [one for one in facts.partings if one.lot == lot.key]
    kept = [one for one in gone if one.way != "thrown_out"]
    in_water = lot.stems - sum(one.stems for one in gone)
    if not kept and not in_water:
        system.hand(node, ("rest", "written off"), 1.0)
        return
    worth = [lot.values.get(way, 0) for way in (*(one.way for one in kept), *(["hung"] if in_water else []))]
    worth = worth if min(worth) > 0 else [1] * len(worth)
    stems = [*(one.stems for one in kept), *([in_water] if in_water else [])]
    whole = sum(each * number for each, number in zip(worth, stems, strict=True))
    if in_water:
        system.hand(node, ("rest", "in water"), worth[-1] * in_water / whole)
    for parting, each in zip(kept, worth, strict=False):
        _leave(system, facts, parting, each * parting.stems / whole, used[("parting", parting.key)])


def _leave(system: System, facts: CostFacts, parting: PartingFact, share: float, runs: list[tuple[int, int]]) -> None:
    node: Node = ("lot", parting.lot)
    hung = [one for one in facts.hangings if one.parting == parting.key and one.moved_from is None]
    if hung:
        system.hand(node, ("hanging", hung[0].key), share)
        return
    left = parting.stems
    for run, stems in runs:
        system.hand(node, ("run", run), share * stems / parting.stems, 2)
        left -= stems
    system.hand(node, ("rest", WAYS[parting.way]), share * left / parting.stems, 2)


def _take_down(system: System, facts: CostFacts, hanging: HangingFact, used: Used) -> None:
    """What moved on, what oddments are worth, what sound stems bear, what was a disaster, what still hangs."""
    node: Node = ("hanging", hanging.key)
    moved = [one for one in facts.hangings if one.moved_from == hanging.key]
    stays, gone = 1.0, 0
    for one in sorted(moved, key=lambda other: (other.on, other.key)):
        lost = sum(stems - sound for day, stems, sound in hanging.takings if day <= one.on)
        part = stays * one.stems / (hanging.stems - lost - gone)
        system.hand(node, ("hanging", one.key), part, 1 + len(moved))
        stays, gone = stays - part, gone + one.stems
    kept = [one for one in facts.oddments if one.hanging == hanging.key]
    for one in kept:
        system.hand(node, ("oddments", one.key), _scrap(node, stays, kept, one.value), 3 + len(moved))
        _lie(system, ("oddments", one.key), ("oddments", one.key), one.stems, used)
    _bear(system, hanging, stays, gone, kept, used)


def _scrap(node: Node, stays: float, kept: list[OddmentsFact], value: int) -> Share:
    """Oddments are worth what was said, all together at most what there is."""
    worth = sum(one.value for one in kept)

    def share(totals: Totals) -> float:
        there = totals(node) * stays
        return stays * min(1.0, worth / there) * value / worth if there and worth else 0.0

    return share


def _bear(
    system: System, hanging: HangingFact, stays: float, moved: int, kept: list[OddmentsFact], used: Used
) -> None:
    node: Node = ("hanging", hanging.key)
    up = hanging.stems - moved - hanging.down
    worth = sum(one.value for one in kept)
    scrap = _scrap(node, stays, kept, worth)
    sound: Share = lambda totals: _borne(hanging, moved, stays, scrap(totals))  # noqa: E731 a share by name
    rest: Share = lambda totals: stays - scrap(totals) - sound(totals)  # noqa: E731 a share by name
    partings = 4 + len(kept)
    system.hand(node, ("rest", "hanging" if up else "written off"), rest, partings)
    left, sound_stems = hanging.sound, hanging.sound
    for run, stems in used[node]:
        system.hand(node, ("run", run), _fraction(sound, stems, sound_stems), partings)
        left -= stems
    if left:
        system.hand(node, ("rest", "loose"), _fraction(sound, left, sound_stems), partings)


def _fraction(share: Share, part: int, whole: int) -> Share:
    return lambda totals: share(totals) * part / whole


def _borne(hanging: HangingFact, moved: int, stays: float, scrap: float) -> float:
    """The share of all a hanging carries that its sound stems bear."""
    hung, lost = hanging.stems - moved, hanging.down - hanging.sound
    if not hanging.sound:
        return 0.0
    norm = hanging.norm_bp if hanging.disaster_bp is None else hanging.disaster_bp
    usual = (WHOLE - norm) / WHOLE
    bearing, to_bear = hanging.sound + (hung - hanging.down) * usual, stays - scrap
    if hanging.disaster_bp is not None:
        bearing = max(bearing, hung * usual)
        to_bear = stays - (scrap * min(lost, hung * norm / WHOLE) / lost if lost else 0.0)
    return min(stays - scrap, to_bear * hanging.sound / bearing)


def _lie(system: System, node: Node, source: Node, stems: int, used: Used) -> None:
    """Oddments go to the runs that used them; the rest lies loose."""
    left = stems
    for run, number in used[source]:
        system.hand(node, ("run", run), number / stems, 1)
        left -= number
    system.hand(node, ("rest", "loose"), left / stems, 1)


def _bunch(system: System, run: int, batches: list[BatchFact]) -> None:
    """By the value kept for each unit where every batch has one, else by stems."""
    values = [(one.unit_value or 0) * one.made for one in batches]
    weights = values if all(value > 0 for value in values) else [one.stems for one in batches]
    for batch, weight in zip(batches, weights, strict=True):
        system.hand(("run", run), ("batch", batch.key), weight / sum(weights))


def _sell(system: System, batch: BatchFact, movements: list[MovementFact]) -> None:
    """A day's bunches in, then its bunches out at what is left for each; a return brings its own part back."""
    node: Node = ("batch", batch.key)
    units, there, takings = 0, 0.0, 0
    out: dict[int, tuple[int, float]] = {}
    known = {one.key: one for one in movements}
    for on in sorted({one.on for one in movements}):
        today = {one.key: -one.bunches for one in movements if one.on == on and one.bunches < 0}
        for one in sorted((one for one in movements if one.on == on and one.bunches > 0), key=lambda one: one.key):
            takings += 1
            if one.brings_back in today:
                today[one.brings_back] -= one.bunches
                continue
            units += one.bunches
            if one.kind == "made":
                there += 1.0
            elif one.brings_back is not None:
                gone, part = out[one.brings_back]
                back = part * one.bunches / gone
                out[one.brings_back] = (gone - one.bunches, part - back)
                there += back
                system.hand(node, ("rest", KINDS[known[one.brings_back].kind]), -back, takings)
        for key, bunches in today.items():
            takings += 1
            out[key] = (bunches, there * bunches / units if units else 0.0)
            target: Node = ("rest", KINDS.get(known[key].kind, ""))
            if known[key].run is not None:
                target = ("run", known[key].run)
            system.hand(node, target, out[key][1], takings)
        there -= sum(out[key][1] for key in today)
        units -= sum(today.values())
    system.hand(node, ("rest", "boxed"), there, takings + 1)
