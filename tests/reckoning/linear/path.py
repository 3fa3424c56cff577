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
    """What oddments are worth, what moved on, what sound stems bear, what was a disaster, what still hangs."""
    node: Node = ("hanging", hanging.key)
    moved = sorted((one for one in facts.hangings if one.moved_from == hanging.key), key=lambda one: (one.on, one.key))
    kept = [one for one in facts.oddments if one.hanging == hanging.key]
    partings = 4 + len(kept) + len(moved)
    for one in kept:
        system.hand(node, ("oddments", one.key), _scrap(node, kept, one.value), partings)
        _lie(system, ("oddments", one.key), ("oddments", one.key), one.stems, used)
    scrap = _scrap(node, kept, sum(one.value for one in kept))
    shares = _disaster(hanging, moved, scrap) if hanging.disaster_bp is not None else _usual(hanging, moved, scrap)
    *going, sound = shares
    for one, share in zip(moved, going, strict=True):
        system.hand(node, ("hanging", one.key), share, partings)
    rest: Share = lambda totals: 1.0 - scrap(totals) - sum(share(totals) for share in shares)  # noqa: E731 a share by name
    up = hanging.stems - hanging.down - sum(one.stems for one in moved)
    system.hand(node, ("rest", "hanging" if up else "written off"), rest, partings)
    left = hanging.sound
    for run, stems in used[node]:
        system.hand(node, ("run", run), _fraction(sound, stems, hanging.sound), partings)
        left -= stems
    if left:
        system.hand(node, ("rest", "loose"), _fraction(sound, left, hanging.sound), partings)


def _scrap(node: Node, kept: list[OddmentsFact], value: int) -> Share:
    """Oddments are worth what was said, all together at most what there is."""
    worth = sum(one.value for one in kept)

    def share(totals: Totals) -> float:
        there = totals(node)
        return min(1.0, worth / there) * value / worth if there and worth else 0.0

    return share


def _usual(hanging: HangingFact, moved: list[HangingFact], scrap: Share) -> list[Share]:
    """The shares of those moved, one after another, and of the sound that stayed, of what scrap leaves."""
    stays, gone, fractions = 1.0, 0, []
    for one in moved:
        lost = sum(stems - sound for day, stems, sound in hanging.takings if day <= one.on)
        fractions.append(stays * one.stems / (hanging.stems - lost - gone))
        stays, gone = stays - fractions[-1], gone + one.stems
    up = hanging.stems - gone - hanging.down
    bearing = hanging.sound + up * (WHOLE - hanging.norm_bp) / WHOLE
    fractions.append(stays * hanging.sound / bearing if hanging.sound else 0.0)
    return [_of_the_rest(scrap, fraction) for fraction in fractions]


def _of_the_rest(scrap: Share, fraction: float) -> Share:
    return lambda totals: (1.0 - scrap(totals)) * fraction


def _disaster(hanging: HangingFact, moved: list[HangingFact], scrap: Share) -> list[Share]:
    """The shares of those moved and of the sound that stayed: each stem the same, never beyond the norm."""
    numbers = [*(one.stems for one in moved), hanging.sound]
    sound, lost, norm = sum(numbers), hanging.down - hanging.sound, hanging.disaster_bp or 0
    usual = (WHOLE - norm) / WHOLE
    bearing = max(sound + (hanging.stems - sound - lost) * usual, hanging.stems * usual)

    def of(number: int) -> Share:
        def share(totals: Totals) -> float:
            waste = scrap(totals)
            to_bear = 1.0 - (waste * min(lost, hanging.stems * norm / WHOLE) / lost if lost else 0.0)
            return min(1.0 - waste, to_bear * sound / bearing) * number / sound if sound else 0.0

        return share

    return [of(number) for number in numbers]


def _fraction(share: Share, part: int, whole: int) -> Share:
    return lambda totals: share(totals) * part / whole


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
