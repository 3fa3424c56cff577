"""Which stall day was worth going: what each brought, cost and left for an hour of being there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.costing.queries import Bases, book
from ledger.daybook.models import WorkShare
from ledger.reckoning.book import Book
from ledger.reckoning.printing import printed_costs
from ledger.reckoning.sharing import share_out
from ledger.reckoning.taking import proportion
from ledger.sales.models import Job, StallDay, Workshop

from .sold import SoldLine, TermsByDay, bills_of_fees, kept_off_payouts, sold_lines

PAID_WORK = "labour"
UNTOLD = (0, [0, 0, 0])
WORTH, NOT_THE_HOURS, COST_MORE, NOT_YET = "worth", "not_hours", "cost_more", "not_yet"
VERDICTS = {
    WORTH: _("worth going"),
    NOT_THE_HOURS: _("paid its costs, not the hours"),
    COST_MORE: _("cost more than it brought"),
    NOT_YET: _("cannot say yet"),
}


@dataclass(frozen=True)
class MarketDay:
    """One stall day, or all of one market: money in whole minor units that adds up along the row.

    `fixed`: pitch, drive and all else paid for the day but work, fees on takings included; `work` paid; `own_work`
    the unpaid hours at their rate. `minutes` of everybody there, `own_minutes` of the unpaid among them. `why_not`:
    why its verdict cannot be told.
    """

    name: str
    on: date | None
    stall_day: StallDay | None
    days: int
    net: int
    shelf: int
    fixed: int
    work: int
    own_work: int
    minutes: int
    own_minutes: int
    final: bool
    why_not: Any = ""

    @property
    def left(self) -> int | None:
        """What was left after goods and everything paid, for one's own hours; None where it cannot be said."""
        return None if self.why_not else self.net - self.shelf - self.fixed - self.work

    @property
    def after_own(self) -> int | None:
        """What was left when one's own hours had their rate too."""
        return None if self.left is None else self.left - self.own_work

    @property
    def an_hour(self) -> int | None:
        """What was left for an hour of being there, before anybody's work was paid; None where no hours are noted."""
        return None if self.left is None or not self.minutes else proportion(self.left + self.work, 60, self.minutes)

    @property
    def verdict(self) -> str:
        """Whether it was worth going."""
        if self.left is None or self.after_own is None:
            return NOT_YET
        if self.left < 0:
            return COST_MORE
        return WORTH if self.after_own >= 0 else NOT_THE_HOURS

    @property
    def says(self) -> Any:
        """The verdict in words."""
        return VERDICTS[self.verdict]


def market_days(first: date, last: date, on: date) -> list[MarketDay]:
    """Every stall day from `first` to `last` as known on a day, the latest first; a day that cannot be told shows no costs.

    What is left in all is rounded from the same sums as the margins of those days.
    """
    days = list(StallDay.objects.standing_on(on).filter(on__gte=first, on__lte=last).order_by("-on", "-pk"))
    made, bases, minutes, terms, kept_off = book(on), Bases(on), minutes_on(days, on), TermsByDay(), kept_off_payouts()
    sold: dict[int, list[SoldLine]] = defaultdict(list)
    for line in sold_lines(on):
        sold[line.of.spent_on].append(line)
    costs = {day.pk: DayCosts.of(made, bases, day, sold[day.pk]) for day in days}
    why_not = {
        day.pk: _pitch_missing(made, day, terms, kept_off) or _why_not(sold[day.pk], minutes[day.pk], costs[day.pk].own_work)
        for day in days
    }
    told = [day.pk for day in days if not why_not[day.pk]]
    amounts = dict(zip(told, printed_costs([costs[pk].parts for pk in told]), strict=True))
    return [_row(day, sold[day.pk], minutes[day.pk], amounts.get(day.pk, UNTOLD), why_not[day.pk]) for day in days]


def _row(day: StallDay, sold: Sequence[SoldLine], minutes: Minutes, amounts: tuple[int, list[int]], why_not: Any) -> MarketDay:
    shelf, (fixed, work, own_work) = amounts
    return MarketDay(
        name=day.name, on=day.on, stall_day=day, days=1, net=sum(line.of.net for line in sold), shelf=shelf, fixed=fixed,
        work=work, own_work=own_work, minutes=minutes.all, own_minutes=minutes.own, final=all(line.final for line in sold),
        why_not=why_not,
    )


@dataclass(frozen=True)
class DayCosts:
    """What a day's goods, pitch and drive with fees, paid and own work cost, in millionths."""

    shelf: int
    fixed: int
    work: int
    own_work: int

    @classmethod
    def of(cls, made: Book, bases: Bases, day: StallDay, sold: Sequence[SoldLine]) -> DayCosts:
        """The costs of one stall day."""
        own = made.node(("stall_day", day.pk)).own
        paid, work = bases.money_spent(own), sum(amount for (_stage, kind), amount in own.items() if kind == PAID_WORK)
        fees = sum(line.fees for line in sold)
        return cls(sum(line.shelf or 0 for line in sold), paid - work + fees, work, sum(own.values()) - paid)

    @property
    def parts(self) -> tuple[int, tuple[int, int, int]]:
        """The goods, and what was spent besides."""
        return self.shelf, (self.fixed, self.work, self.own_work)


def by_market(days: Iterable[MarketDay]) -> list[MarketDay]:
    """The days that can be told, by the market's name, what was left for an hour best first; one row a market."""
    found: dict[str, list[MarketDay]] = defaultdict(list)
    for day in days:
        found[day.name].append(day)
    rows = [_together(name, of) for name, of in found.items()]
    return sorted(rows, key=_best_first)


def _best_first(row: MarketDay) -> tuple[bool, bool, int, int, str]:
    """By what was left for an hour, then those without hours by what was left, then those that cannot be told."""
    return row.left is None, row.an_hour is None, -(row.an_hour or 0), -(row.left or 0), row.name


def _together(name: str, days: Sequence[MarketDay]) -> MarketDay:
    told = [day for day in days if not day.why_not]

    def whole(what: str) -> int:
        return sum(getattr(day, what) for day in told)

    names = ("net", "shelf", "fixed", "work", "own_work", "minutes", "own_minutes")
    return MarketDay(
        name=name, on=None, stall_day=None, days=len(told), final=all(day.final for day in told),
        why_not="" if told else _("none of its days can be told yet"), **{what: whole(what) for what in names},
    )


def total_of(days: Sequence[MarketDay]) -> MarketDay:
    """All the days that can be told together."""
    return _together(str(_("Total")), days)


@dataclass
class Minutes:
    """Minutes of everybody on a day, and of the unpaid among them."""

    all: int = 0
    own: int = 0


def minutes_on(days: Sequence[StallDay | Job | Workshop], on: date) -> dict[int, Minutes]:
    """The minutes noted on each stall day, job or workshop; an entry's shared by its weights."""
    entries: dict[int, list[tuple[int, int, int, bool]]] = defaultdict(list)
    rows = WorkShare.objects.filter(entry__undone_at__isnull=True, entry__on__lte=on)
    rows = rows.filter(entry__shares__spent_on__in=[day.pk for day in days]).distinct().order_by("pk")
    wanted = rows.values_list("entry_id", "spent_on_id", "weight", "entry__minutes", "entry__worker__paid")
    for entry, spent_on, weight, minutes, paid in wanted:
        entries[entry].append((spent_on, weight, minutes, paid))
    found: dict[int, Minutes] = defaultdict(Minutes)
    for parts in entries.values():
        shares = share_out(parts[0][2], [weight for _spent_on, weight, _minutes, _paid in parts])
        for (spent_on, _weight, _minutes, is_paid), share in zip(parts, shares, strict=True):
            found[spent_on].all += share
            found[spent_on].own += 0 if is_paid else share
    return found


def _pitch_missing(made: Book, day: StallDay, terms: TermsByDay, kept_off: Container[int]) -> Any:
    """Whether nothing was entered on a day, or no bill of a pitch that costs a fixed sum, in words; nothing where it was."""
    node, known = made.node(("stall_day", day.pk)), terms.of(day.way_id, day.on)
    if not node.own:
        return _("no pitch, drive or hours are entered for it")
    if known is not None and known.fixed_day and not bills_of_fees(node, kept_off)[0]:
        return _("no bill of its pitch is entered; enter it on the page of the stall day")
    return ""


def _why_not(sold: Sequence[SoldLine], noted: Minutes, own_work: int) -> Any:
    """Why a day whose pitch is known cannot be told yet; nothing where it can."""
    if any(line.shelf is None for line in sold):
        return _("what it sold has no known cost yet")
    if not noted.all:
        return _("no hours are noted for it")
    if noted.own and not own_work:
        return _("the hours there have no rate")
    return ""
