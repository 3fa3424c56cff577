"""Stall days and retail sales."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import CostObject, User
from ledger.facts.queries import tax_rate_on
from ledger.facts.writing import action, keep, mark_undone, open_cost_object, record, refusal, require_standing
from ledger.growing.actions import part
from ledger.growing.models import Lot, Parting
from ledger.pricing.models import Way
from ledger.reckoning.offers import Piece
from ledger.sales.models import Customer, Sale, SaleLine, SaleTaking, StallDay
from ledger.sales.queries.loading import boxes_away, boxes_of
from ledger.stock.actions import lock_lines, sell_bunches, undo_movement, undo_run
from ledger.stock.models import Line, Movement, Run

from .charging import Charged, Sold, priced
from .customers import require_named
from .late import find_again, miss_again, was_missing

MOST = 100_000


def named_cost_object(kind: str, label: str) -> CostObject:
    """A cost object whose label carries its own number (`%(key)s`)."""
    cost_object = open_cost_object(kind, "–")
    cost_object.label = label % {"key": cost_object.pk}
    return keep(cost_object)


@action("selling")
def open_stall_day(*, by: User, on: date, name: str, way: Way) -> StallDay:
    """Begin a market day: what it costs is spent on it, its sales name it."""
    cost_object = open_cost_object("stall_day", f"{name}, {on}")
    return record(StallDay(cost_object=cost_object, on=on, name=name, way=way), by=by)


@action("selling")
def undo_stall_day(*, by: User, stall_day: StallDay) -> StallDay:
    """Undo a market day that nothing was sold or spent on."""
    return undo_within(stall_day, by=by)


@action("selling")
def sell(
    *, by: User, on: date, way: Way, lines: Sequence[Sold], stall_day: StallDay | None = None,
    customer: Customer | None = None, note: str = "", beyond_record: bool = False, paid: str = "cash",
) -> Sale:
    """Record a retail sale; `beyond_record`: it happened, whatever the record says is there; `paid`: how the money came.

    At a stall day the boxes loaded for it give first.
    """
    check_sold(lines, on, stall_day, customer)
    _lock(lines)
    kept: dict[str, Any] = {"on": on, "way": way, "stall_day": stall_day, "customer": customer, "note": note, "paid": paid}
    sale = open_sale(by=by, **kept)
    write_lines(by, sale, lines, beyond_record)
    return sale


def open_sale(*, by: User, on: date, **kept: Any) -> Sale:
    """Begin a sale inside a verb, at the tax rate of its day; its lines follow."""
    key = named_cost_object("sale", str(_("Sale %(key)s")))
    return record(Sale(cost_object=key, on=on, rate_bp=tax_rate_on(on), **kept), by=by)


def write_lines(by: User, sale: Sale, lines: Sequence[Sold], beyond_record: bool) -> None:
    """Charge the lines of a sale and take what they sold."""
    where = Where(sale.stall_day, sale.on)
    for charged, pieces in priced(lines, sale.way, sale.on, sale.customer):
        if charged.sold.lot is not None:
            _sell_fresh(by, sale, charged.sold, charged.sold.lot, charged.price)
        for piece in pieces if charged.sold.line is not None else []:
            _sell_dried(by, sale, charged, piece, beyond_record, where)


class Where:
    """The boxes a sale takes from first, and those that some other market has with it that day."""

    def __init__(self, stall_day: StallDay | None, on: date) -> None:
        self.at_hand, self.away = boxes_of(stall_day), boxes_away(on, besides=stall_day)


def check_sold(lines: Sequence[Sold], on: date, stall_day: StallDay | None, customer: Customer | None) -> None:
    """Refuse nothing sold, absurd numbers, parcels, a blanked customer and another day's stall."""
    if not lines:
        raise refusal("lines", _("Say what was sold."), code="no_lines")
    for sold in lines:
        if (sold.line is None) == (sold.lot is None):
            raise refusal("lines", _("Each line names either a bunch line or a harvest lot."), code="dried_or_fresh")
        if not (1 <= sold.quantity <= MOST and 1 <= sold.stems_each <= MOST):
            raise refusal("quantity", _("Between 1 and %(most)d, please."), code="absurd", most=MOST)
        if sold.box is not None and sold.box.parcel:
            raise refusal("box", _("Box %(box)s is packed for an order."), code="parcel", box=sold.box)
    if customer is not None:
        require_named(customer)
    if stall_day is not None:
        require_standing(stall_day, "stall_day")
        if stall_day.on != on:
            raise refusal("on", _("That stall day was on %(on)s."), code="other_day", on=stall_day.on)


def _lock(lines: Sequence[Sold]) -> None:
    """Lots, then lines, each in order of key."""
    for lot in sorted({sold.lot.pk for sold in lines if sold.lot}):
        Lot.objects.select_for_update(no_key=True).get(pk=lot)
    lock_lines(sold.line for sold in lines if sold.line)


def _sell_fresh(by: User, sale: Sale, sold: Sold, lot: Lot, price: int) -> None:
    stems = sold.quantity * sold.stems_each
    parting = part(by=by, lot=lot, on=sale.on, way=Parting.Way.SOLD_FRESH, stems=stems)
    keep(SaleLine(sale=sale, parting=parting, quantity=sold.quantity, price=price))


def _sell_dried(by: User, sale: Sale, charged: Charged, piece: Piece, beyond_record: bool, where: Where) -> None:
    sold = charged.sold
    assert sold.line is not None
    sale_line = keep(
        SaleLine(
            sale=sale, line=sold.line, quantity=piece.quantity, price=charged.price, off=piece.off, offer_id=piece.offer,
            why=charged.why,
        )
    )
    for movement in _take(by, sale, sold.line, piece.quantity, sold, beyond_record, where):
        keep(SaleTaking(sale=sale, line=sale_line, movement=movement))


def _take(
    by: User, sale: Sale, line: Line, bunches: int, sold: Sold, beyond_record: bool, where: Where
) -> Iterator[Movement]:
    """Take them out: first those that were missing when the stall day was put away, then as any sale does."""
    for shortage, number in was_missing(sale.stall_day, line, bunches, box=sold.box, batch=sold.batch):
        found = find_again(by, sale, shortage, number)
        bunches -= number
        yield from sell_bunches(
            by=by, on=sale.on, line=line, bunches=found.bunches, box=found.box, batch=found.batch, beyond_record=True
        )
    if bunches:
        yield from sell_bunches(
            by=by, on=sale.on, line=line, bunches=bunches, box=sold.box, batch=sold.batch, beyond_record=beyond_record,
            at_hand=where.at_hand, away=where.away,
        )


@action("selling")
def undo_sale(*, by: User, sale: Sale) -> Sale:
    """Undo a sale: what it took is back where it was; bunches put down to seconds for it are firsts again."""
    lock_lines([*sale.lines.exclude(line=None).values_list("line", flat=True), *lines_reworked_for(sale)])
    sale = mark_undone(Sale.objects.lock(sale), by=by)
    for parting in Parting.objects.filter(sale_line__sale=sale).order_by("pk"):
        undo_within(parting, by=by)
    for taking in sale.takings.select_related("movement__batch").order_by("-pk"):
        undo_movement(by=by, movement=taking.movement)
        miss_again(by, taking.movement, sale.recorded_at)
    if sale.rework is not None:
        _undo_rework(by, sale, sale.rework)
    return sale


def _undo_rework(by: User, sale: Sale, run: Run) -> None:
    drawn = list(run.drawn.standing().order_by("-pk"))
    undo_run(by=by, run=run)
    for gone in drawn:
        miss_again(by, gone, sale.recorded_at)


def lines_reworked_for(sale: Sale) -> list[int]:
    """The lines of the bunches that were put down to seconds for a sale."""
    return list(sale.rework.drawn.values_list("batch__line", flat=True)) if sale.rework else []
