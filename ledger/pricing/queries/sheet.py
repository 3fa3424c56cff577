"""All prices of a way on one sheet, and what changing some of them does before it is done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Protocol

from django.db.models import Q

from ledger.costing.queries import CostSheet, cost_sheets
from ledger.facts.queries import tax_rate_on
from ledger.reckoning.sharing import to_minor
from ledger.stock.models import Line

from ..models import Way
from . import prices_on, steps_on, terms_on
from .proposals import margin_at, propose


class Changed(Protocol):
    """A line's price as it is to be."""

    @property
    def line(self) -> Line: ...
    @property
    def amount(self) -> int | None: ...
    @property
    def at_least(self) -> int: ...


@dataclass(frozen=True)
class SheetRow:
    """One line: its price now, its cost to the shelf and the price proposed, minor units; None: not known, not to be seen."""

    line: Line
    now: int | None
    shelf: int | None = None
    proposed: int | None = None
    provisional: bool = False


@dataclass(frozen=True)
class Effect:
    """What one changed price does: old and new price, the margins they leave, and what is promised at which price still.

    `old` is what so many cost before; margins None where the cost is not known
    or not to be seen; `promised`: (price net of tax, how many), which stay;
    `steps`: (at least, price) of the line's other quantity steps, which stay too.
    """

    line: Line
    at_least: int
    old: int | None
    new: int
    old_margin_bp: int | None
    new_margin_bp: int | None
    wanted_bp: int | None
    promised: Sequence[tuple[int, int]] = ()
    steps: Sequence[tuple[int, int]] = ()

    @property
    def thin(self) -> bool:
        """Whether the new price leaves less than the wanted margin."""
        return self.new_margin_bp is not None and self.wanted_bp is not None and self.new_margin_bp < self.wanted_bp


def lines_to_price(way: Way, on: date) -> list[Line]:
    """Lines with a price by the way that day, or of which something is on hand."""
    return list(Line.objects.whole().with_free().filter(Q(on_hand__gt=0) | Q(pk__in=prices_on(way, on))))


def sheet_of_prices(way: Way, on: date, *, with_costs: bool) -> list[SheetRow]:
    """Every line to price by a way that day; costs and proposals only for those who see costs."""
    lines, now = lines_to_price(way, on), prices_on(way, on)
    if not with_costs:
        return [SheetRow(line, now.get(line.pk)) for line in lines]
    sheets, terms, rate = cost_sheets(lines, on), terms_on(way, on), tax_rate_on(on)
    rows = []
    for line in lines:
        sheet, price = sheets[line.pk], now.get(line.pk)
        proposed = propose(sheet, way, terms, price, rate).price if terms else None
        rows.append(SheetRow(line, price, _shelf(sheet), proposed, provisional=sheet.known and not sheet.final))
    return rows


def _shelf(sheet: CostSheet) -> int | None:
    return to_minor(sheet.shelf_cost) if sheet.known and sheet.layers else None


def effects(way: Way, on: date, changed: Sequence[Changed], *, with_costs: bool) -> list[Effect]:
    """What prices set from that day on would do, in the order given; costs only for those who see them."""
    lines = [one.line for one in changed]
    steps, promised = steps_on(way, on), _promised(way, lines)
    sheets = cost_sheets(lines, on) if with_costs else {}
    terms, rate = terms_on(way, on), tax_rate_on(on)

    def margin(price: int | None, line: Line) -> int | None:
        sheet = sheets.get(line.pk)
        if not price or sheet is None or not sheet.known or not sheet.shelf_cost:
            return None
        return margin_at(price, sheet.shelf_cost, way, terms, rate)

    found = []
    for one in changed:
        assert one.amount is not None
        of_line = steps.get(one.line.pk, [])
        old = _effective(of_line, one.at_least)
        found.append(Effect(
            one.line, one.at_least, old, one.amount, margin(old, one.line), margin(one.amount, one.line),
            terms.margin_bp if terms and with_costs else None, promised.get(one.line.pk, ()),
            [(at_least, amount) for at_least, amount in of_line if at_least not in (1, one.at_least)],
        ))
    return found


def _effective(steps: Sequence[tuple[int, int]], quantity: int) -> int | None:
    """What one of so many costs by steps in rising order."""
    return next((amount for at_least, amount in reversed(steps) if at_least <= quantity), None)


def _promised(way: Way, lines: Sequence[Line]) -> dict[int, list[tuple[int, int]]]:
    """By the line's key: what open orders by the way still promise, by price, the lowest first."""
    order_lines: Any = Line._meta.get_field("order_lines").related_model
    rows = order_lines._default_manager.with_standing().filter(
        order__way=way, order__undone_at__isnull=True, line__in=lines, kept__gt=0
    )
    found: dict[int, dict[int, int]] = {}
    for line, price, kept in rows.order_by("line", "price", "pk").values_list("line", "price", "kept"):
        of_line = found.setdefault(line, {})
        of_line[price] = of_line.get(price, 0) + kept
    return {line: list(by_price.items()) for line, by_price in found.items()}
