"""Every line sold, with what it cost to the shelf, its selling, its fees, and the margin that was wanted of it."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from ledger.costing.models import OverheadPlan
from ledger.costing.queries import Bases, book, overhead_plan_on
from ledger.daybook.models import PurchaseLine
from ledger.facts.queries import holding
from ledger.pricing.models import WayTerms
from ledger.reckoning.book import Book, Key, MovementFact, Node, total
from ledger.reckoning.selling import fee_on_takings
from ledger.reckoning.sharing import MILLION, share_out
from ledger.reckoning.taking import proportion
from ledger.reckoning.years import year_of
from ledger.sales.queries.income import IncomeLine, income

BY_TERMS, PITCH_BILLED, CARD_BILLED, BILLED = "terms", "pitch", "card", "bill"
WHOLE_BP = 10_000


@dataclass(frozen=True)
class SoldLine:
    """One line of a sale, dispatch, job or workshop and what became of its money, in millionths.

    `planned`: the wanted margin of the terms in force that day on its net, None
    where the way had none. `quantity` sold and not brought back, of a job or workshop bunches and stems together; `shelf`:
    cost to the shelf of exactly that, None where that cannot be said yet. `selling`: its share of what was spent on
    its stall day, order or sale, its job or workshop; `fees` on takings, `fees_by` whether by the
    terms, by bill, or the pitch or the card fee by bill and the rest by the terms.
    """

    of: IncomeLine
    spent_on: Key
    quantity: int
    planned: int | None
    shelf: int | None
    selling: int
    fees: int
    fees_by: str
    final: bool

    @property
    def net(self) -> int:
        """Net income, in millionths."""
        return self.of.net * MILLION


class TermsByDay:
    """The terms of each way in force on any day, read once."""

    def __init__(self) -> None:
        self._terms: dict[int, list[WayTerms]] = defaultdict(list)
        for one in WayTerms.objects.standing().order_by("on", "pk"):
            self._terms[one.way_id].append(one)

    def of(self, way: int, on: date) -> WayTerms | None:
        """The latest terms of a way from that day or before, None where it had none yet."""
        terms = self._terms[way]
        place = bisect_right(terms, on, key=lambda one: one.on)
        return terms[place - 1] if place else None


class Overheads:
    """The overheads planned for the year of any day, each year's plan read once."""

    def __init__(self) -> None:
        kept = holding()
        self._ends = {"end_month": kept.year_end_month, "end_day": kept.year_end_day}
        self._plans: dict[int, OverheadPlan | None] = {}

    def on_top(self, base: int, on: date, *, stored: bool) -> int:
        """What the cost sheet adds to a cost to the shelf that day; storage only on what was boxed."""
        year = year_of(on, **self._ends)
        if year not in self._plans:
            self._plans[year] = overhead_plan_on(on)
        plan = self._plans[year]
        if plan is None:
            return 0
        layers = (plan.storage if stored else 0, plan.overheads, plan.usual_idle_and_luck)
        return sum(proportion(base, amount, plan.usual_base) for amount in layers if amount)


def sold_lines(on: date) -> list[SoldLine]:
    """Every line sold by a day, in order of day, as the cost book of that day sees it."""
    made, lines = book(on), income(None, on)
    together: dict[int, list[int]] = defaultdict(list)
    for place, line in enumerate(lines):
        together[line.spent_on].append(place)
    selling = [0] * len(lines)
    for spent_on, places in together.items():
        shares = selling_shares(made, spent_on, [lines[place] for place in places])
        for place, share in zip(places, shares, strict=True):
            selling[place] = share
    weighing = Weighing(made, on)
    return [weighing.weigh(line, share) for line, share in zip(lines, selling, strict=True)]


def selling_shares(made: Book, spent_on: int, lines: Sequence[IncomeLine]) -> list[int]:
    """What was spent on one stall day, order or sale, shared over its lines by sales value."""
    spent = total(made.node((made.facts.kinds_of[spent_on], spent_on)).own)
    weights = [max(line.net, 0) for line in lines]
    return share_out(spent, weights if any(weights) else [1] * len(lines))


class Weighing:
    """What each line sold cost, as of a day."""

    def __init__(self, made: Book, on: date) -> None:
        self.made, self.bases, self.terms, self.overheads = made, Bases(on), TermsByDay(), Overheads()
        self.batch_of = {one.key: one.batch for one in made.facts.movements}
        self.partings = {one.key: one for one in made.facts.partings}
        self.returns, self._kept_off = returns_of(made), kept_off_payouts()

    def weigh(self, line: IncomeLine, selling: int) -> SoldLine:
        """One line with its cost to the shelf, its fees and the margin wanted of it."""
        terms = self.terms.of(line.way, line.on)
        spent_on = (self.made.facts.kinds_of[line.spent_on], line.spent_on)
        fee_bp, fees_by = fees_due(terms, *bills_of_fees(self.made.node(spent_on), self._kept_off))
        nodes = self._nodes(line)
        return SoldLine(
            of=line, spent_on=spent_on, quantity=self._quantity(line), selling=selling,
            planned=None if terms is None else proportion(line.net * MILLION, terms.margin_bp, WHOLE_BP),
            shelf=self._shelf(line) if (nodes or line.of_work) and all(node.known for node in nodes) else None,
            fees=proportion(line.gross * MILLION, fee_bp, WHOLE_BP), fees_by=fees_by, final=all(node.final for node in nodes),
        )

    def _nodes(self, line: IncomeLine) -> list[Node]:
        lots = [("lot", self.partings[one].lot) for one in line.partings]
        return [self.made.node(key) for key in (*lots, *(("batch", self.batch_of[one]) for one, _ in line.movements))]

    def _quantity(self, line: IncomeLine) -> int:
        stems = sum(self.partings[one].stems for one in line.partings)
        return stems + sum(kept_of(movement, bunches, self.returns) for movement, bunches in line.movements)

    def _shelf(self, line: IncomeLine) -> int:
        """What it took and did not bring back cost, and the overheads of its year on top; storage on what was boxed."""
        fresh = self.to_the_shelf(("parting", one) for one in line.partings)
        boxed = self.to_the_shelf(event for movement, _ in line.movements for event in events_of(movement, self.returns))
        on_top = self.overheads.on_top(fresh, line.on, stored=False) + self.overheads.on_top(boxed, line.on, stored=True)
        return fresh + boxed + on_top

    def to_the_shelf(self, events: Iterable[Key]) -> int:
        """What events took with them, as far as it belongs to the cost to the shelf, without the overheads of the year."""
        amounts = [self.made.by_event.get(event, {}) for event in events]
        return sum(amount for of in amounts for element, amount in of.items() if self.bases.in_shelf(element))


def returns_of(made: Book) -> Mapping[int, list[MovementFact]]:
    """movement -> what came back of it by the day of the book."""
    found: dict[int, list[MovementFact]] = defaultdict(list)
    for one in made.facts.movements:
        if one.brings_back is not None:
            found[one.brings_back].append(one)
    return found


def events_of(movement: int, returns: Mapping[int, list[MovementFact]]) -> list[Key]:
    """The events of the cost book by which a movement took bunches, and those that brought some of them back."""
    return [("movement", movement), *(("movement", one.key) for one in returns.get(movement, ()))]


def kept_of(movement: int, bunches: int, returns: Mapping[int, list[MovementFact]]) -> int:
    """What of the bunches a movement took did not come back."""
    return bunches - sum(one.bunches for one in returns.get(movement, ()))


def kept_off_payouts() -> frozenset[int]:
    """The keys of purchase lines that a card company kept off its payouts: card fees, whatever else is billed."""
    return frozenset(PurchaseLine.objects.filter(purchase__card_payout__isnull=False).values_list("pk", flat=True))


def bills_of_fees(node: Node, kept_off: Container[int]) -> tuple[int, int]:
    """How many lines of bills for fees, pitches and commissions were entered on it, and how many were `kept_off` card payouts."""
    bought = [one for one in node.direct if one.source[0] == "purchase"]
    lines = {one.source[1] for one in bought if any(kind == "fees" for _, kind in one.amounts)}
    cards = sum(line in kept_off for line in lines)
    return len(lines) - cards, cards


def fees_due(terms: WayTerms | None, bills: int, cards: int = 0) -> tuple[int, str]:
    """The fees on takings not entered as bills, in hundredths of a per cent, and by what they are known.

    The first bill stands for the pitch where the terms know of one, the next for the card fee or commission; so does what
    was kept off a card payout (`cards`), which never stands for a pitch. A pitch of a fixed sum is no fee on takings: it
    counts by its bill alone.
    """
    if terms is None:
        return 0, BILLED if bills or cards else ""
    pitch = 1 if terms.pitch_bp or terms.fixed_day else 0
    card = 0 if cards or bills > pitch else terms.fee_bp
    fee = fee_on_takings(
        card, card_share_bp=terms.card_share_bp, pitch_bp=0 if bills else terms.pitch_bp, bad_debt_bp=terms.bad_debt_bp,
        interest_bp=terms.interest_bp, days=terms.days_to_wait,
    )
    return fee, _known_by(fee, bills, cards)


def _known_by(fee: int, bills: int, cards: int) -> str:
    if not bills and not cards:
        return BY_TERMS if fee else ""
    if not fee:
        return BILLED
    return PITCH_BILLED if bills else CARD_BILLED


def within(lines: Iterable[SoldLine], first: date, last: date) -> list[SoldLine]:
    """Those sold from `first` up to and including `last`."""
    return [line for line in lines if first <= line.of.on <= last]
