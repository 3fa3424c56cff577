"""What the pieces of a job are to cost, what their prices leave, and the margin that is wanted of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING, Protocol

from ledger.costing.queries import cost_sheets
from ledger.costing.queries.expected import materials_expected, stems_expected
from ledger.facts.queries import holding, tax_rate_on
from ledger.pricing.queries import terms_on
from ledger.pricing.queries.proposals import gross_of, price_wanted
from ledger.pricing.queries.selling import selling_costs, step_of_endings
from ledger.reckoning.price import margin_of
from ledger.reckoning.selling import hours_cost
from ledger.reckoning.sharing import MILLION, share_out
from ledger.reckoning.taking import proportion
from ledger.reckoning.tax import tax_within

from .job_needs import parts_of

if TYPE_CHECKING:
    from ledger.daybook.models import Material
    from ledger.growing.models import Variety
    from ledger.pricing.models import Way
    from ledger.sales.models import Job
    from ledger.stock.models import Line


class IsPart(Protocol):
    """A part of a piece, kept or as it is to be."""

    @property
    def quantity(self) -> int: ...
    @property
    def line(self) -> Line | None: ...
    @property
    def variety(self) -> Variety | None: ...
    @property
    def material(self) -> Material | None: ...
    @property
    def bought(self) -> str: ...
    @property
    def cost(self) -> int: ...


@dataclass(frozen=True)
class PartCost:
    """One part of one piece and what it is to cost there, in millionths; None: that cannot be said yet."""

    part: IsPart
    amount: int | None
    final: bool = True

    @property
    def what(self) -> str:
        return str(self.part.line or self.part.variety or self.part.material or self.part.bought)

    @property
    def of_stems(self) -> bool:
        """Whether it is counted by the stem."""
        return self.part.variety is not None or (self.part.line is not None and self.part.line.stems is not None)


@dataclass(frozen=True)
class PieceSheet:
    """So many of one piece: what one is to cost and what all of them leave.

    `work`: its minutes at the way's hour cost; that and `parts` for one of it, in millionths. `price` of one as the way keeps
    it, `proposed` the one that leaves the wanted margin, None where no price does or the cost cannot be said. `net` of all of
    them in minor units, `selling` what selling all of them takes, in millionths; nil without a price.
    """

    name: str
    quantity: int
    price: int | None
    parts: Sequence[PartCost]
    minutes: int
    work: int
    proposed: int | None = None
    net: int = 0
    selling: int = 0
    wanted_bp: int | None = None

    @property
    def cost(self) -> int | None:
        """What one is to cost, in millionths; None while one of its parts cannot be said."""
        known = [one.amount for one in self.parts if one.amount is not None]
        return sum(known) + self.work if len(known) == len(self.parts) else None

    @property
    def all_cost(self) -> int | None:
        """What all of them are to cost, in millionths."""
        return None if self.cost is None else self.cost * self.quantity

    @property
    def left(self) -> int | None:
        """What all of them leave after cost and selling, in millionths."""
        return None if self.all_cost is None else self.net * MILLION - self.all_cost - self.selling

    @property
    def margin_bp(self) -> int | None:
        """What they leave of their net, in hundredths of a per cent."""
        return _margin(self.all_cost, self.selling, self.net)

    @property
    def final(self) -> bool:
        return all(one.final for one in self.parts)


@dataclass(frozen=True)
class HireNet:
    """What a hire is charged, net in minor units; `selling` in millionths. Nothing is spent on it by the plan."""

    name: str
    quantity: int
    price: int
    net: int
    selling: int


@dataclass(frozen=True)
class JobSheet:
    """A job as planned, as of a day; `hour_cost` what an hour costs by the terms of its way, nil where nobody said."""

    on: date
    hour_cost: int
    wanted_bp: int | None
    pieces: Sequence[PieceSheet]
    hires: Sequence[HireNet] = field(default_factory=tuple)

    @property
    def net(self) -> int:
        """All of it, net in minor units."""
        return sum(one.net for one in (*self.pieces, *self.hires))

    @property
    def selling(self) -> int:
        """What selling it takes, in millionths."""
        return sum(one.selling for one in (*self.pieces, *self.hires))

    @property
    def cost(self) -> int | None:
        """What it is to cost, in millionths; None while one of its parts cannot be said."""
        known = [one.all_cost for one in self.pieces if one.all_cost is not None]
        return sum(known) if len(known) == len(self.pieces) else None

    @property
    def left(self) -> int | None:
        """What it leaves after cost and selling, in millionths."""
        return None if self.cost is None else self.net * MILLION - self.cost - self.selling

    @property
    def margin_bp(self) -> int | None:
        """What it leaves of its net, in hundredths of a per cent."""
        return _margin(self.cost, self.selling, self.net)

    @property
    def final(self) -> bool:
        return all(one.final for one in self.pieces)


def _margin(cost: int | None, selling: int, net: int) -> int | None:
    return None if cost is None or not net else margin_of(cost + selling, net * MILLION)


def piece_sheet(
    job: Job, parts: Sequence[IsPart], minutes: int, on: date, *, quantity: int = 1, price: int | None = None, name: str = ""
) -> PieceSheet:
    """What a piece of a job, kept or to be, would cost and leave as of a day."""
    ground = _Ground(job.way, parts, on)
    return ground.priced([ground.piece(name, quantity, price, parts, minutes)])[0]


def margin_sheet(job: Job, on: date) -> JobSheet:
    """All standing pieces and hires of a job as planned: cost and margin by the cost book of that day."""
    parts: dict[int, list[IsPart]] = {}
    for part in parts_of(job).select_related("line__variety__species", "variety__species", "material").order_by("pk"):
        parts.setdefault(part.piece_id, []).append(part)
    ground = _Ground(job.way, [part for several in parts.values() for part in several], on)
    pieces = [
        ground.piece(one.name, one.quantity, one.price, parts.get(one.pk, []), one.minutes)
        for one in job.pieces.standing().order_by("pk")
    ]
    hires = [
        HireNet(str(one.item), one.quantity, one.price, 0, 0)
        for one in job.hires.standing().select_related("item").order_by("pk")
    ]
    return ground.sheet(pieces, hires)


class _Ground:
    """What the parts of a job's pieces cost as of a day, and what selling by its way takes."""

    def __init__(self, way: Way, parts: Iterable[IsPart], on: date) -> None:
        parts = list(parts)
        self.way, self.on, self.rate, self.terms = way, on, tax_rate_on(on), terms_on(way, on)
        self.selling = selling_costs(self.terms)
        self.per_major = step_of_endings(self.terms, holding().currency) if self.terms else None
        lines = {part.line.pk: part.line for part in parts if part.line is not None}
        self.lines = cost_sheets(lines.values(), on) if lines else {}
        self.stems = stems_expected({part.variety.pk for part in parts if part.variety is not None}, on)
        self.materials = materials_expected({part.material.pk for part in parts if part.material is not None}, on)

    def piece(self, name: str, quantity: int, price: int | None, parts: Sequence[IsPart], minutes: int) -> PieceSheet:
        """One piece with its cost and the price proposed."""
        work = hours_cost(minutes, self.terms.hour_cost * MILLION) if self.terms else 0
        piece = PieceSheet(name, quantity, price, [self._part(part) for part in parts], minutes, work)
        wanted = self.terms.margin_bp if self.terms else None
        return replace(piece, proposed=self._proposed(piece.cost), wanted_bp=wanted)

    def _part(self, part: IsPart) -> PartCost:
        if part.line is not None:
            return self._of_line(part, part.line)
        if part.bought:
            return PartCost(part, part.cost * part.quantity * MILLION)
        found = self.stems.get(part.variety.pk) if part.variety is not None else None
        if part.material is not None:
            found = self.materials.get(part.material.pk)
        return PartCost(part, found.of(part.quantity), found.final) if found else PartCost(part, None)

    def _of_line(self, part: IsPart, line: Line) -> PartCost:
        """By its cost to the shelf, shared by stems where it is bunched by stems."""
        sheet = self.lines[line.pk]
        if not sheet.known or not sheet.layers:
            return PartCost(part, None)
        return PartCost(part, proportion(sheet.shelf_cost, part.quantity, line.stems or 1), sheet.final)

    def _proposed(self, cost: int | None) -> int | None:
        if not cost or self.terms is None:
            return None
        try:
            return price_wanted(cost, self.way, self.terms, self.rate, self.selling, self.per_major)
        except ValueError:
            return None

    def sheet(self, pieces: Sequence[PieceSheet], hires: Sequence[HireNet]) -> JobSheet:
        """All of a job, its tax taken out of the whole."""
        return JobSheet(
            on=self.on, hour_cost=self.terms.hour_cost if self.terms else 0,
            wanted_bp=self.terms.margin_bp if self.terms else None, pieces=self.priced(pieces, hires),
            hires=self._hired(pieces, hires),
        )

    def priced(self, pieces: Sequence[PieceSheet], hires: Sequence[HireNet] = ()) -> list[PieceSheet]:
        """The pieces with net and selling."""
        nets = self._nets([*_amounts(pieces), *_amounts(hires)])
        return [
            replace(one, net=net, selling=self._selling(amount))
            for one, net, amount in zip(pieces, nets, _amounts(pieces), strict=False)
        ]

    def _hired(self, pieces: Sequence[PieceSheet], hires: Sequence[HireNet]) -> list[HireNet]:
        amounts = _amounts(hires)
        nets = self._nets([*_amounts(pieces), *amounts])[len(pieces) :]
        return [
            replace(one, net=net, selling=self._selling(amount)) for one, net, amount in zip(hires, nets, amounts, strict=True)
        ]

    def _nets(self, amounts: Sequence[int]) -> list[int]:
        """Each amount net of the tax within the whole."""
        if not self.way.with_tax:
            return list(amounts)
        whole = sum(amounts)
        return share_out(whole - tax_within(whole, self.rate), amounts)

    def _selling(self, amount: int) -> int:
        return self.selling.all(gross_of(amount, self.way, self.rate) * MILLION)


def _amounts(rows: Sequence[PieceSheet] | Sequence[HireNet]) -> list[int]:
    return [one.quantity * (one.price or 0) for one in rows]
