"""What of an order is asked for and not promised, or left short, and what could fill it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from django.db.models import QuerySet, Sum

from ledger.facts.queries import holding, tax_rate_on, today
from ledger.pricing.queries import prices_on
from ledger.reckoning.colour_families import family_of
from ledger.reckoning.tax import tax_within
from ledger.reckoning.years import season_of
from ledger.sales.models import Later, Order, OrderLine
from ledger.stock.models import Content, HoldChange, Line

from .availability import Stems, stems_coming

MOST_OTHERS = 3


@dataclass(frozen=True)
class Hoped:
    """About so many bunches still to be made, by a day (None: not known)."""

    bunches: int
    expected: date | None
    where: str


@dataclass(frozen=True)
class Other:
    """Another line that could stand in, for so many (it has `free`).

    `charged`: what one would cost in an order, net minor units; `listed`: its own price by the list, where that is another.
    """

    line: Line
    bunches: int
    charged: int = 0
    listed: int | None = None


@dataclass(frozen=True)
class Lacking:
    """One line that lacks bunches: how many are free now, which others could stand in, what is coming, what was said of it."""

    order_line: OrderLine
    free: int
    others: Sequence[Other]
    coming: Sequence[Hoped]
    later: Later | None

    @property
    def lacking(self) -> int:
        return int(self.order_line.lacking)  # type: ignore[attr-defined]

    @property
    def now(self) -> int:
        """How many one press would promise."""
        return min(self.free, self.lacking)

    @property
    def to_come(self) -> int:
        """How many are said to come later, as far as they still lack."""
        return min(self.later.bunches, self.lacking) if self.later else 0

    @property
    def otherwise(self) -> int:
        """How many lack and are not said to come later: what may be filled with something else, or cancelled."""
        return self.order_line.otherwise

    @property
    def to_note(self) -> int:
        """How many one press would note to come later: of what is not free now, no more than is to be made first."""
        return min(self.coming[0].bunches, max(self.lacking - self.now, 0)) if self.coming and not self.later else 0


def lines_lacking() -> QuerySet[OrderLine]:
    """Lines of orders that lack something, the first ordered first."""
    return OrderLine.objects.standing().whole().with_standing().filter(lacking__gt=0).order_by("order__on", "order", "pk")


def what_could_fill(lines: Iterable[OrderLine]) -> list[Lacking]:
    """For each line of an order (with its standing) what could fill it now and what is coming; a fixed number of queries."""
    lines = [line for line in lines if line.lacking > 0]  # type: ignore[attr-defined]
    if not lines:
        return []
    free = {line.pk: line for line in Line.objects.whole().with_free()}
    of_season = _free_of_season(lines)
    later = {one.order_line_id: one for one in Later.objects.standing().filter(order_line__in=lines)}
    coming = list(stems_coming(today()))
    found = [_lacking(line, free, of_season, coming, later.get(line.pk)) for line in lines]
    return _with_list_prices(found, lines[0].order) if any(one.others for one in found) else found


def _with_list_prices(found: Iterable[Lacking], order: Order) -> list[Lacking]:
    """The same, each other line with what it costs by the order's list today where that is not what would be charged."""
    on = today()
    rate = tax_rate_on(on) if order.way.with_tax else 0
    listed = {line: amount - tax_within(amount, rate) for line, amount in prices_on(order.way, on).items()}

    def priced(other: Other) -> Other:
        own = listed.get(other.line.pk)
        return replace(other, listed=None if own == other.charged else own)

    return [replace(one, others=[priced(other) for other in one.others]) for one in found]


def could_be_filled() -> list[Lacking]:
    """Lines that lack something of which some is free now."""
    lines = list(lines_lacking())
    if not lines:
        return []
    free = {line.pk: line for line in Line.objects.whole().with_free().filter(pk__in={line.line_id for line in lines})}
    of_season = _free_of_season(lines)
    found = [Lacking(line, _free(line, free, of_season), (), (), None) for line in lines]
    return [one for one in found if one.free > 0]


def _lacking(
    line: OrderLine, lines: dict[int, Line], of_season: dict[tuple[int, int], int], coming: Iterable[Stems], later: Later | None
) -> Lacking:
    most = min(line.otherwise, line.not_packed)
    instead = alike(line.line, lines.values()) if most > 0 and not line.instead_of_id else []
    others = [Other(one, min(one.free, most), line.price) for one in instead]  # type: ignore[attr-defined]
    return Lacking(line, _free(line, lines, of_season), others, _hoped(line.line, coming), later)


def _free(line: OrderLine, lines: dict[int, Line], of_season: dict[tuple[int, int], int]) -> int:
    free, season = lines[line.line_id].free, line.hold.season  # type: ignore[attr-defined]
    return max(free if season is None else min(free, of_season[line.line_id, season]), 0)


def _free_of_season(lines: Iterable[OrderLine]) -> dict[tuple[int, int], int]:
    """By line's key and season: bunches made in it that no hold for it keeps."""
    keys, first_month = {line.line_id for line in lines if line.hold.season is not None}, holding().season_first_month
    found: dict[tuple[int, int], int] = defaultdict(int)
    if not keys:
        return found
    there = Content.objects.filter(batch__line__in=keys, bunches__gt=0).not_held_back(today())
    for line, day, bunches in there.values_list("batch__line", "batch__on", "bunches"):
        found[line, season_of(day, first_month=first_month)] += bunches
    kept = HoldChange.objects.standing().filter(hold__line__in=keys, hold__season__isnull=False).order_by()
    for line, season, bunches in kept.values_list("hold__line", "hold__season").annotate(n=Sum("bunches")):
        found[line, season] -= bunches
    return found


def alike(line: Line, lines: Iterable[Line], *, most: int = MOST_OTHERS) -> list[Line]:
    """Lines of the same variety or family of colours with something free, the same variety first, then the same species."""
    found = [one for one in lines if one.pk != line.pk and one.free > 0 and _could_stand_in(one, line)]  # type: ignore[attr-defined]
    return sorted(found, key=lambda one: (*_nearness(one, line), -one.free, one.pk))[:most]  # type: ignore[attr-defined]


def _could_stand_in(one: Line, line: Line) -> bool:
    if one.variety_id is None or line.variety_id is None or one.unit != line.unit:
        return False
    family = family_of(line.own_colour)
    return one.variety_id == line.variety_id or (family != "" and family_of(one.own_colour) == family)


def _nearness(one: Line, line: Line) -> tuple[bool, bool, bool]:
    assert one.variety is not None and line.variety is not None
    species = one.variety.species_id != line.variety.species_id
    return one.variety_id != line.variety_id, species, one.grade != line.grade


def _hoped(line: Line, coming: Iterable[Stems]) -> list[Hoped]:
    """What stems of the line's variety should make of it, by day and place, whole bunches only, an unknown day last."""
    sums: dict[tuple[date | None, str], int] = defaultdict(int)
    for one in coming:
        if one.variety.pk == line.variety_id:
            sums[one.expected, one.where] += one.stems
    rows = [Hoped(stems // (line.stems or 1), day, where) for (day, where), stems in sums.items()]
    return sorted((row for row in rows if row.bunches), key=lambda row: (row.expected or date.max, row.where))
