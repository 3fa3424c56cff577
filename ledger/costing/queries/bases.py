"""Which kinds of cost belong to which basis on a day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from ledger.facts.models import CostKind
from ledger.reckoning.book import STAGES_TO_THE_BOX, Element

from ..models import KindBasis
from .stages import STAGE_NAMES


@dataclass(frozen=True)
class KindOn:
    """A kind of cost and the bases it belongs to on a day; `moved`: by which change, None where it was never moved."""

    kind: CostKind
    in_stock: bool
    in_shelf: bool
    moved: KindBasis | None = None


def kinds_on(on: date, known: datetime | None = None) -> Sequence[KindOn]:
    """Every kind of cost as it counts on a day, as known at a moment (None: now)."""
    moved = {one.kind_id: one for one in KindBasis.objects.as_of(on, known).order_by("on", "pk")}
    return [_kind_on(kind, moved.get(kind.pk)) for kind in CostKind.objects.all()]


def _kind_on(kind: CostKind, moved: KindBasis | None) -> KindOn:
    flags = moved or kind
    return KindOn(kind, flags.in_stock, flags.in_shelf, moved)


class Bases:
    """Which kinds of cost belong to stock cost and to the cost to the shelf on a day, as known at a moment."""

    def __init__(self, on: date, known: datetime | None = None) -> None:
        kinds = kinds_on(on, known)
        self.names = {one.kind.code: str(one.kind.name) for one in kinds}
        self._stock = {one.kind.code for one in kinds if one.in_stock}
        self._shelf = {one.kind.code for one in kinds if one.in_shelf}
        self._paid = {one.kind.code for one in kinds if one.kind.paid}

    def in_stock(self, element: Element) -> bool:
        return element[0] in STAGES_TO_THE_BOX and element[1] in self._stock

    def in_shelf(self, element: Element) -> bool:
        return element[0] in STAGES_TO_THE_BOX and element[1] in self._shelf

    def paid(self, element: Element) -> bool:
        return element[1] in self._paid

    def stock_cost(self, amounts: Mapping[Element, int]) -> int:
        """The part of amounts that is stock cost, in millionths."""
        return sum(amount for element, amount in amounts.items() if self.in_stock(element))

    def money_spent(self, amounts: Mapping[Element, int]) -> int:
        """The part of amounts that is money spent, in millionths."""
        return sum(amount for element, amount in amounts.items() if self.paid(element))

    def name(self, element: Element) -> str:
        """An element in words."""
        stage, kind = element
        return f"{STAGE_NAMES[stage]}: {self.names.get(kind, kind)}"
