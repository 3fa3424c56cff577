"""What a line would cost and leave by a way of selling if something were otherwise; nothing is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from functools import cached_property

from ledger.costing.models import OverheadPlan
from ledger.costing.queries import Bases, CostSheet, Layer, book, cost_sheet, layers_of, overhead_plan_on
from ledger.facts.queries import tax_rate_on
from ledger.reckoning.roads import Borne, borne_by
from ledger.reckoning.selling import SellingCosts, hours_cost
from ledger.reckoning.sharing import MILLION, to_minor
from ledger.reckoning.what_if import (
    Left,
    Moves,
    break_even,
    cost_if,
    each_moved,
    left_by,
    longest_first,
    made_if,
    selling_if,
    sound_if,
    whole,
)
from ledger.stock.models import Line

from ..models import Way, WayTerms
from . import price_on, terms_on
from .proposals import WayProposal, gross_of, propose
from .selling import selling_costs

WHOLE_BP = 10_000


@dataclass(frozen=True)
class Asked:
    """What is moved: changes in hundredths of a per cent of what is; loss (a share), stems and price as they would be.

    None: as it is.
    """

    wage_bp: int = 0
    plot_bp: int = 0
    cut_bp: int = 0
    fees_bp: int = 0
    loss_bp: int | None = None
    stems: int | None = None
    price: int | None = None


@dataclass(frozen=True)
class Ground:
    """What a question rests on: a line, a way with its terms, its price and cost that day."""

    line: Line
    way: Way
    on: date
    sheet: CostSheet
    borne: Borne | None
    terms: WayTerms | None
    present: int | None
    rate: int
    bases: Bases
    plan: OverheadPlan | None

    @property
    def makes_more(self) -> bool:
        """Whether more stems make more of it: bunches and weights, not pieces, which are made by the recipe."""
        return self.line.unit != Line.Unit.PIECE

    @property
    def answers(self) -> bool:
        """Whether its cost is known, so that anything can be said."""
        return self.borne is not None and self.sheet.known and self.sheet.shelf_cost > 0

    @property
    def lost_bp(self) -> int | None:
        """The share of the stems hung whose cost the others bear now, None where none hung."""
        lost = self.borne.lost if self.borne else None
        return None if lost is None else whole(lost * WHOLE_BP)

    @property
    def stems(self) -> int | None:
        """Stems to the bunch now, None where that moves nothing."""
        return self.line.stems if self.borne and self.borne.of_stems else None

    @cached_property
    def selling(self) -> SellingCosts:
        """What selling this way costs now."""
        return selling_costs(self.terms)

    @property
    def selling_hours(self) -> int:
        """What the hours of a day of selling cost, in minor units."""
        return hours_cost(self.terms.day_minutes, self.terms.hour_cost) if self.terms else 0


@dataclass(frozen=True)
class Outcome:
    """How one unit comes out: layers and `left` in millionths, prices in minor units as the way keeps them.

    `price` None: there is none to go by. `must_sell` of the `made` units pay
    for all of them at that price, None where never.
    """

    layers: Sequence[Layer]
    price: int | None
    left: Left | None
    proposal: WayProposal | None
    made: int
    must_sell: int | None

    @property
    def stock_cost(self) -> int:
        return sum(layer.stock for layer in self.layers)

    @property
    def shelf_cost(self) -> int:
        return sum(layer.shelf for layer in self.layers)

    @property
    def proposed(self) -> int | None:
        return self.proposal.price if self.proposal else None


@dataclass(frozen=True)
class Swayed:
    """What one thing a tenth less and a tenth more would leave of a unit, in minor units."""

    lever: str
    less: int
    more: int


@dataclass(frozen=True)
class WhatIf:
    """The present and what would be, and how far each thing sways what would be, the furthest first."""

    now: Outcome
    then: Outcome
    sways: Sequence[Swayed]


def ground_of(line: Line, way: Way, on: date) -> Ground:
    """What a question about a line and a way rests on that day."""
    return Ground(
        line=line, way=way, on=on, sheet=cost_sheet(line, on), borne=borne_by(book(on), line.pk), terms=terms_on(way, on),
        present=price_on(line, way, on), rate=tax_rate_on(on), bases=Bases(on), plan=overhead_plan_on(on),
    )


def what_if(ground: Ground, asked: Asked) -> WhatIf:
    """The present and what would be with what is asked; only where the ground `answers`."""
    moves = moves_of(ground, asked)
    now = _outcome(ground, Moves(), ground.present)
    then = _outcome(ground, moves, now.price if asked.price is None else asked.price)
    return WhatIf(now, then, _sways(ground, moves, then.price) if then.price else [])


def moves_of(ground: Ground, asked: Asked) -> Moves:
    """What is asked as so many times of what is; what is said as it stands moves nothing."""
    moves = Moves(
        wage=_times(asked.wage_bp), plot=_times(asked.plot_bp), cut=_times(asked.cut_bp), fees=_times(asked.fees_bp)
    )
    if asked.stems is not None and ground.stems:
        moves = replace(moves, stems=Fraction(asked.stems, ground.stems))
    lost = ground.borne.lost if ground.borne else None
    if lost is not None and asked.loss_bp not in (None, ground.lost_bp):
        moves = replace(moves, sound=sound_if(lost, Fraction(asked.loss_bp or 0, WHOLE_BP)))
    return moves


def _times(change_bp: int) -> Fraction:
    return 1 + Fraction(change_bp, WHOLE_BP)


def _outcome(ground: Ground, moves: Moves, price: int | None) -> Outcome:
    borne = _known(ground)
    layers = layers_of(cost_if(borne.parts, moves), ground.bases, ground.plan)
    proposal = _proposal(ground, replace(ground.sheet, layers=layers), moves)
    price = price or (proposal.price if proposal else None)
    shelf = sum(layer.shelf for layer in layers)
    left = _left(ground, moves, price, shelf) if price else None
    made = made_if(borne.made, moves, hung=borne.hung) if ground.makes_more else borne.made
    one = left.net * MILLION - left.selling if left else 0
    return Outcome(layers, price, left, proposal, made, break_even(shelf * made, one))


def _known(ground: Ground) -> Borne:
    if ground.borne is None:
        raise ValueError("nothing can be said of a line that was never made")
    return ground.borne


def _proposal(ground: Ground, sheet: CostSheet, moves: Moves) -> WayProposal | None:
    """What to charge with these moves, its share of a day's cost by the present price."""
    if ground.terms is None:
        return None
    costs = selling_if(ground.selling, moves, hours=ground.selling_hours)
    return propose(sheet, ground.way, ground.terms, ground.present, ground.rate, costs)


def _left(ground: Ground, moves: Moves, price: int, shelf: int) -> Left:
    costs = selling_if(ground.selling, moves, hours=ground.selling_hours)
    return left_by(gross_of(price, ground.way, ground.rate), shelf, costs, tax_bp=ground.rate)


def _sways(ground: Ground, moves: Moves, price: int) -> list[Swayed]:
    """How far a tenth of each thing that can move sways what is left, the furthest first."""
    lost = ground.borne.lost if ground.borne else None
    loss = 1 - (1 - lost) * moves.sound if lost is not None else Fraction(0)
    cannot = {lever for lever, can in (("loss", lost is not None), ("stems", ground.stems is not None)) if not can}
    pairs = {
        lever: (_margin(ground, down, price), _margin(ground, up, price))
        for lever, down, up in each_moved(moves, loss=loss) if lever not in cannot
    }
    return [Swayed(lever, *pairs[lever]) for lever in longest_first(pairs)]


def _margin(ground: Ground, moves: Moves, price: int) -> int:
    layers = layers_of(cost_if(_known(ground).parts, moves), ground.bases, ground.plan)
    shelf = sum(layer.shelf for layer in layers)
    return to_minor(_left(ground, moves, whole(price * moves.price), shelf).margin)
