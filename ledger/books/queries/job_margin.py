"""The margin sheet of a job: planned beside actual, by piece and by what was taken."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from ledger.reckoning.printing import printed_costs
from ledger.reckoning.sharing import printed, share_out
from ledger.sales.models import Job, JobDone
from ledger.sales.queries.income import net_of_charges
from ledger.sales.queries.job_sheet import IsPart, JobSheet, PieceSheet, margin_sheet

from .jobs import Account, Actual, Costs, Thing, ThingRow, actual


@dataclass(frozen=True)
class PieceRow:
    """So many of a piece, or a hire: as planned, and as it came out once the job is done (None before)."""

    name: str
    quantity: int
    planned: Account | None
    came_out: Account | None


@dataclass(frozen=True)
class JobMargin:
    """A job's margin sheet as of a day; `sheet.on`: the day by whose costs it is planned."""

    sheet: JobSheet
    of: Actual
    planned: Account
    pieces: Sequence[PieceRow]
    things: Sequence[ThingRow]

    @property
    def planned_minutes(self) -> int:
        """The minutes planned on all pieces."""
        return sum(piece.minutes * piece.quantity for piece in self.sheet.pieces)


def job_margin(job: Job, on: date) -> JobMargin:
    """What was planned of a job and what it came to.

    Planned by the costs of the day it was done or cancelled; of the day asked about before that, or where they were not known.
    """
    done = job.doings.standing_on(on).first()
    over = done or job.cancellings.standing_on(on).first()
    sheet, of = margin_sheet(job, over.on if over else on), actual(job, on)
    if sheet.cost is None and sheet.on < on:
        sheet = margin_sheet(job, on)
    plans = [(one.net, _planned_costs(one)) for one in sheet.pieces]
    plans += [(one.net, Costs(0, fees=one.selling)) for one in sheet.hires]
    planned = _accounts(plans)
    came_out = _came_out(sheet, of, done, on) if done else [None] * len(planned)
    named = [(one.name, one.quantity) for one in sheet.pieces]
    named += [(_("Hire of %(item)s") % {"item": one.name}, one.quantity) for one in sheet.hires]
    rows = [PieceRow(*about, *both) for about, both in zip(named, zip(planned, came_out, strict=False), strict=True)]
    rows += [PieceRow(_("broken or lost"), 1, None, more) for more in came_out[len(planned) :]]
    return JobMargin(sheet, of, total_of(planned), rows, _things(sheet, of))


def total_of(accounts: Iterable[Account]) -> Account:
    """Several accounts together."""
    rows = list(accounts)
    names = ("net", "work", "own_work", "other", "fees")
    shelf = None if any(one.shelf is None for one in rows) else sum(one.shelf or 0 for one in rows)
    return Account(shelf=shelf, **{name: sum(getattr(one, name) for one in rows) for name in names})


def _accounts(rows: Sequence[tuple[int, Costs]]) -> list[Account]:
    """Printed so that they add up along each row and down each column."""
    if not rows:
        return []
    cells = printed_costs([(costs.shelf or 0, costs.beside) for _net, costs in rows])
    return [
        Account(net, None if costs.shelf is None else shelf, *beside)
        for (net, costs), (shelf, beside) in zip(rows, cells, strict=True)
    ]


def _planned_costs(piece: PieceSheet) -> Costs:
    """What all of a piece are to cost: dried and fresh stems apart from what is used or bought in."""
    goods = sum(one.amount or 0 for one in piece.parts if thing_of(one.part))
    other = sum(one.amount or 0 for one in piece.parts if not thing_of(one.part))
    return Costs(
        None if piece.cost is None else goods * piece.quantity, work=piece.work * piece.quantity,
        other=other * piece.quantity, fees=piece.selling,
    )


def thing_of(part: IsPart) -> Thing | None:
    """The line or the fresh variety a part is of; None of what is used or bought in."""
    if part.line is not None:
        return "line", part.line.pk
    return ("fresh", part.variety.pk) if part.variety is not None else None


def _came_out(sheet: JobSheet, of: Actual, done: JobDone, on: date) -> list[Account]:
    """What each piece, hire and breakage came to: what was taken shared as it was planned, all else alike."""
    nets = net_of_charges(done, on)
    charged = [net for _pk, net in sorted(nets.items())]
    breakages = any(line.broken for line in of.lines)
    rows = [*charged, of.net - sum(charged)] if breakages else charged
    shares = _Shares(sheet, rows)
    goods = [0] * len(rows)
    for one in of.gone:
        goods = [so_far + more for so_far, more in zip(goods, shares.of_thing(one.thing, one.cost), strict=True)]
    columns = zip(
        shares.by(shares.minutes, of.costs.work), shares.by(shares.minutes, of.costs.own_work),
        shares.by(shares.other, of.costs.other), shares.by([], of.costs.fees), strict=True,
    )
    known = of.costs.shelf is not None
    return _accounts([
        (net, Costs(cost if known else None, *beside)) for net, cost, beside in zip(rows, goods, columns, strict=True)
    ])


class _Shares:
    """How what a job took is shared over its rows: pieces first, then hires and breakages, which planned nothing."""

    def __init__(self, sheet: JobSheet, nets: Sequence[int]) -> None:
        self._pieces, self._nets = sheet.pieces, [max(net, 0) for net in nets]
        self.minutes = [piece.minutes * piece.quantity for piece in sheet.pieces]
        self.other = [_planned_costs(piece).other for piece in sheet.pieces]

    def of_thing(self, thing: Thing, amount: int) -> list[int]:
        """By how much of the thing each piece was to take."""
        return self.by([_units(piece, thing) for piece in self._pieces], amount)

    def by(self, weights: Sequence[int], amount: int) -> list[int]:
        """By weights of the pieces; by net where they have none, else alike."""
        wanted = [*weights, *[0] * (len(self._nets) - len(weights))]
        chosen = next((some for some in (wanted, self._nets) if any(some)), [1] * len(self._nets))
        return share_out(amount, chosen)


def _units(piece: PieceSheet, thing: Thing) -> int:
    return sum(one.part.quantity * piece.quantity for one in piece.parts if thing_of(one.part) == thing)


def _things(sheet: JobSheet, of: Actual) -> list[ThingRow]:
    """What was planned and what was taken of each thing, the planned first in the order of the pieces."""
    plan = _planned_things(sheet)
    gone = {one.thing: one for one in of.gone}
    keys = [*plan, *(thing for thing in gone if thing not in plan)]
    planned_costs = printed([plan[key].cost or 0 if key in plan else 0 for key in keys]) if keys else []
    costs = printed([gone[key].cost if key in gone else 0 for key in keys]) if keys else []
    known = of.costs.shelf is not None
    return [
        ThingRow(
            plan[key].name if key in plan else gone[key].name, plan[key].bunches if key in plan else 0,
            gone[key].taken if key in gone else 0, gone[key].back if key in gone else 0,
            planned_cost if key not in plan or plan[key].cost is not None else None, cost if known else None,
        )
        for key, planned_cost, cost in zip(keys, planned_costs, costs, strict=True)
    ]


@dataclass(frozen=True)
class _Planned:
    name: str
    bunches: int
    cost: int | None


def _planned_things(sheet: JobSheet) -> Mapping[Thing, _Planned]:
    """Each thing all pieces are to take: whole bunches of a line bunched by stems, else units or stems."""
    found: dict[Thing, list[tuple[Any, int, int | None]]] = defaultdict(list)
    for piece in sheet.pieces:
        for one in piece.parts:
            thing = thing_of(one.part)
            if thing is not None:
                amount = None if one.amount is None else one.amount * piece.quantity
                found[thing].append((one, one.part.quantity * piece.quantity, amount))
    planned = {}
    for thing, rows in found.items():
        first, units = rows[0][0], sum(number for _one, number, _amount in rows)
        stems = (first.part.line.stems if first.part.line else None) or 1
        costs = [amount for _one, _number, amount in rows if amount is not None]
        name = first.what if thing[0] == "line" else _("%(variety)s, fresh") % {"variety": first.what}
        planned[thing] = _Planned(name, -(-units // stems), sum(costs) if len(costs) == len(rows) else None)
    return planned
