"""Planned against actual margin of what was sold, by line, customer, way of selling, market day, or job and workshop."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.growing.models import Variety
from ledger.pricing.models import Way
from ledger.reckoning.price import margin_of
from ledger.reckoning.printing import printed_costs
from ledger.reckoning.sharing import MILLION, printed
from ledger.sales.models import Customer, Job, StallDay, Workshop
from ledger.sales.queries.income import HIRE, JOB, WORKSHOP
from ledger.stock.models import Line

from .sold import SoldLine, sold_lines, within
from .work_missing import Missing, missing_of

Group = tuple[str, int]
NOBODY: Group = ("", 0)


@dataclass(frozen=True)
class MarginRow:
    """What was sold of one group: money in whole minor units that adds up along the row and down to the total.

    Only what can be said is in it, `said` lines of the `sales`: `not_yet` is the net of what was sold besides
    at a cost that is not known yet; `unplanned` the net that had no wanted margin,
    `unplanned_left` what was left of it, `wanted` how many lines had one, `exact_planned` what was planned in millionths.
    `lacking`: how many of the lines are of jobs and workshops that lack hours or things: what they left is too much.
    """

    group: Group
    name: Any
    sales: int
    said: int
    net: int
    planned: int
    shelf: int
    selling: int
    fees: int
    not_yet: int
    unplanned: int
    unplanned_left: int
    wanted: int
    exact_planned: int
    final: bool
    fees_by: frozenset[str]
    lacking: int = 0

    @property
    def unsaid(self) -> bool:
        """Whether all of it is of jobs and workshops that lack something, so that no share left can be said."""
        return 0 < self.said == self.lacking

    @property
    def actual(self) -> int:
        """Net less cost to the shelf, selling and fees."""
        return self.net - self.shelf - self.selling - self.fees

    @property
    def beyond(self) -> int | None:
        """How far what was left of lines with a wanted margin lies above (below: negative) it; None without such a line."""
        return self.actual - self.unplanned_left - self.planned if self.wanted else None

    @property
    def planned_bp(self) -> int | None:
        """The margin planned, in hundredths of a per cent of the net of lines that had a wanted margin; None without any."""
        return _of_net(self.exact_planned, (self.net - self.unplanned) * MILLION) if self.wanted else None

    @property
    def actual_bp(self) -> int | None:
        """The margin that resulted, in hundredths of a per cent of net."""
        return _of_net(self.actual, self.net)


def _of_net(margin: int, net: int) -> int | None:
    return margin_of(net - margin, net) if net > 0 else None


@dataclass(frozen=True)
class Margins:
    """Rows and their total; `missing`: what jobs and workshops in them lack."""

    rows: Sequence[MarginRow]
    total: MarginRow
    lines: Sequence[SoldLine]
    missing: Mapping[Group, Missing] = field(default_factory=dict)


def by_line(line: SoldLine) -> Group:
    """The bunch line, the variety sold fresh, or whether a job, hire or a workshop brought it in."""
    if line.of.of_work:
        return line.of.kind, 0
    return ("line", line.of.line) if line.of.line is not None else ("fresh", line.of.variety or 0)


def by_customer(line: SoldLine) -> Group:
    """The customer named, if any."""
    return ("customer", line.of.customer) if line.of.customer is not None else NOBODY


def by_way(line: SoldLine) -> Group:
    """The way of selling."""
    return "way", line.of.way


def by_market_day(line: SoldLine) -> Group:
    """The stall day, if it was sold at one."""
    return line.spent_on if line.spent_on[0] == "stall_day" else NOBODY


def by_job(line: SoldLine) -> Group:
    """The job or the workshop that brought it in."""
    return line.spent_on if line.of.of_work else NOBODY


BY: dict[str, Callable[[SoldLine], Group]] = {
    "line": by_line, "customer": by_customer, "way": by_way, "market_day": by_market_day, "job": by_job,
}
NOBODYS = {"customer": _("no customer named"), "market_day": _("not at a market"), "job": _("for no job or workshop")}
WORK = {(JOB, 0): _("jobs"), (HIRE, 0): _("hire with jobs"), (WORKSHOP, 0): _("workshops")}


def margins(by: str, first: date, last: date, on: date, only: Group | None = None) -> Margins:
    """The margins of what was sold from `first` to `last`, as known on a day, the largest net first; `only` one group."""
    found: dict[Group, list[SoldLine]] = defaultdict(list)
    for line in within(sold_lines(on), first, last):
        if only is None or BY[by](line) == only:
            found[BY[by](line)].append(line)
    names = names_of(found)
    lines = [line for group in found.values() for line in group]
    missing = missing_of({line.spent_on for line in lines if line.of.of_work}, on)
    rows = _rows([(group, names.get(group, NOBODYS.get(by, "")), found[group]) for group in found], missing)
    return Margins(sorted(rows, key=lambda row: (-row.net, -row.not_yet, row.group)), _total(rows), lines, missing)


def each_sale(found: Margins) -> list[tuple[SoldLine, MarginRow]]:
    """Every line sold by itself, as a row, in order of day."""
    ordered = sorted(found.lines, key=lambda line: (line.of.on, line.spent_on))
    names = names_of({by_line(line) for line in ordered})
    groups = [(by_line(line), names.get(by_line(line), ""), [line]) for line in ordered]
    return list(zip(ordered, _rows(groups, found.missing), strict=True))


def _rows(
    groups: Sequence[tuple[Group, Any, Sequence[SoldLine]]], missing: Container[Group] = frozenset()
) -> list[MarginRow]:
    said = [[line for line in lines if line.shelf is not None] for _group, _name, lines in groups]

    def column(amount: Callable[[SoldLine], int]) -> list[int]:
        return printed([sum(map(amount, lines)) for lines in said])

    planned, unplanned_left = column(lambda line: line.planned or 0), column(_left_unplanned)
    costs = printed_costs([_costs(lines) for lines in said])
    rows = [
        MarginRow(
            group=group, name=name, sales=len(lines), said=len(said[place]), net=_net(said[place]), planned=planned[place],
            shelf=costs[place][0], selling=costs[place][1][0], fees=costs[place][1][1], not_yet=_net(lines) - _net(said[place]),
            unplanned=_net(line for line in said[place] if line.planned is None), unplanned_left=unplanned_left[place],
            wanted=sum(line.planned is not None for line in said[place]),
            exact_planned=sum(line.planned or 0 for line in said[place]), final=all(line.final for line in said[place]),
            fees_by=frozenset(line.fees_by for line in lines if line.fees_by),
            lacking=sum(line.of.of_work and line.spent_on in missing for line in said[place]),
        )
        for place, (group, name, lines) in enumerate(groups)
    ]
    return [row if row.wanted else replace(row, unplanned_left=row.actual) for row in rows]


def _costs(lines: Sequence[SoldLine]) -> tuple[int, tuple[int, int]]:
    """Cost to the shelf, then selling and fees, in millionths."""
    return sum(line.shelf or 0 for line in lines), (sum(line.selling for line in lines), sum(line.fees for line in lines))


def _left_unplanned(line: SoldLine) -> int:
    """What was left of a line that had no wanted margin, in millionths; nothing of one that had."""
    return line.net - (line.shelf or 0) - line.selling - line.fees if line.planned is None else 0


def _net(lines: Iterable[SoldLine]) -> int:
    return sum(line.net for line in lines) // MILLION


def _total(rows: Sequence[MarginRow]) -> MarginRow:
    names = ("sales", "said", "net", "planned", "shelf", "selling", "fees", "not_yet", "unplanned", "unplanned_left", "wanted",
             "exact_planned", "lacking")
    sums = {name: sum(getattr(row, name) for row in rows) for name in names}
    fees_by = frozenset(word for row in rows for word in row.fees_by)
    return MarginRow(group=NOBODY, name=_("Total"), final=all(row.final for row in rows), fees_by=fees_by, **sums)


def names_of(groups: Iterable[Group]) -> dict[Group, Any]:
    """What the groups are called, in a fixed number of queries."""
    numbers: dict[str, list[int]] = defaultdict(list)
    for kind, number in groups:
        numbers[kind].append(number)
    found: dict[Group, Any] = dict(WORK)
    lines = Line.objects.select_related("variety__species").in_bulk(numbers["line"])
    found |= {("line", pk): str(line) for pk, line in lines.items()}
    fresh = Variety.objects.select_related("species").in_bulk(numbers["fresh"])
    found |= {("fresh", pk): _("%(variety)s, fresh") % {"variety": variety} for pk, variety in fresh.items()}
    for kind, model in (("customer", Customer), ("way", Way), ("stall_day", StallDay), ("job", Job), ("workshop", Workshop)):
        rows = model._base_manager.in_bulk(numbers[kind])
        found |= {(kind, pk): str(one) for pk, one in rows.items()}
    return found
