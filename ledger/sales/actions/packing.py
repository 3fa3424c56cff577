"""Packing into an order's parcel, and sending it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import dropwhile

from django.db.models import Max, Sum
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, record, refusal, require_standing
from ledger.pricing.queries.words import in_money
from ledger.sales.models import Dispatch, DispatchLine, InvoiceLine, Order, OrderLine, Packing, Parcel, Reported
from ledger.sales.queries.carriage import carriage_left
from ledger.stock.actions import (
    count_box,
    lock_lines,
    move,
    new_box,
    sell_bunches,
    undo_hold_changes,
    undo_movement,
    use_hold,
)
from ledger.stock.models import Batch, Box, HoldChange
from ledger.stock.queries import lowest_kept
from ledger.stock.queries.seasons import season_made

from .orders import lock_order_line


@dataclass(frozen=True)
class Picked:
    """So many of a batch taken from a box (None: not yet boxed) for one line of an order.

    `only`: how many there were before any was taken, where it was fewer than the record says (None: nobody counted).
    """

    order_line: OrderLine
    batch: Batch
    box: Box | None
    bunches: int
    only: int | None = None


@action("packing")
def pack_picked(*, by: User, order: Order, on: date, picked: Sequence[Picked]) -> Order:
    """Pack all that was ticked on a picking list, or none of it; what was found to be fewer is counted first.

    What a count finds missing may leave this promise or a later one short.
    """
    if not picked:
        raise refusal(None, _("Tick what you took."), code="nothing_picked")
    lock_lines(one.order_line.line_id for one in _of_order(order, picked))
    _count(by, on, picked)
    for one in picked:
        if one.only is not None and one.bunches > one.only:
            raise refusal("bunches", _("There were only %(only)d, so no more can be taken."), code="not_there", only=one.only)
        if not one.bunches:
            continue
        pack(by=by, order_line=one.order_line, on=on, batch=one.batch, box=one.box, bunches=one.bunches)
    return order


def _count(by: User, on: date, picked: Sequence[Picked]) -> None:
    """Count there and then what was found to be fewer, box by box."""
    found: dict[Box, dict[Batch, int]] = defaultdict(dict)
    for one in picked:
        if one.only is not None and one.box is not None:
            found[one.box][one.batch] = one.only
    for box in sorted(found, key=lambda box: box.pk):
        count_box(by=by, on=on, box=box, counted=found[box], note=str(_("found while picking")))


def _of_order(order: Order, picked: Sequence[Picked]) -> Sequence[Picked]:
    Order.objects.lock(order)
    if any(one.order_line.order_id != order.pk for one in picked):
        raise refusal(None, _("That was not asked for in this order."), code="other_order")
    return picked


@action("packing")
def pack(*, by: User, order_line: OrderLine, on: date, batch: Batch, box: Box | None, bunches: int) -> Packing:
    """Put bunches of a batch from a box into the order's open parcel; no more than is promised and not yet packed."""
    order_line = lock_order_line(order_line)
    if batch.line_id != order_line.line_id:
        raise refusal("batch", _("%(batch)s is not what was asked for."), code="other_line", batch=batch)
    _require_season(order_line, batch)
    if box is not None and box.parcel:
        raise refusal("box", _("Box %(box)s is packed for an order already."), code="parcel", box=box)
    _require_promised(order_line, on, bunches)
    parcel = Parcel.objects.fillable().filter(order=order_line.order).last() or new_parcel(by, order_line.order)
    taken, put = move(by=by, on=on, batch=batch, bunches=bunches, source=box, target=parcel.box, packing=True)
    return record(
        Packing(on=on, order_line=order_line, parcel=parcel, bunches=bunches, taken=taken, put=put), by=by
    )


def _require_season(order_line: OrderLine, batch: Batch) -> None:
    season = order_line.hold.season
    if season is not None and season_made(batch) != season:
        raise refusal(
            "batch", _("Only bunches of season %(season)s were asked for; those were made in season %(made)s."),
            code="other_season", season=str(season), made=str(season_made(batch)),
        )


def _require_promised(order_line: OrderLine, on: date, bunches: int) -> None:
    if on < order_line.order.on:
        raise refusal("on", _("It was ordered only on %(on)s."), code="too_early", on=order_line.order.on)
    left = max(min(order_line.kept, lowest_kept(order_line.hold, on)) - order_line.packed, 0)
    if bunches > left:
        raise refusal("bunches", _("Only %(left)d are promised and not yet packed."), code="too_many", left=left)


def new_parcel(by: User, order: Order) -> Parcel:
    """Begin a parcel of an order."""
    box = new_box(by=by, note=order.cost_object.label, parcel=True)
    return keep(Parcel(order=order, box=box))


@action("packing")
def unpack(*, by: User, packing: Packing) -> Packing:
    """Undo a packing: the bunches are back in the box they came from."""
    Order.objects.lock(packing.order_line.order)
    packing = Packing.objects.lock(packing)
    if packing.parcel.dispatches.standing().exists():
        raise refusal(None, _("Its parcel was sent. Undo the dispatch first."), code="rested_on")
    if packing.parcel.handed_over.standing().exists():
        raise refusal(
            None, _("The customer has its parcel. Report it as brought back, or undo the handing over."), code="rested_on"
        )
    packing = mark_undone(packing, by=by)
    undo_movement(by=by, movement=packing.taken)
    return packing


@action("packing")
def send(
    *, by: User, order: Order, on: date, carriage: int | None = None, parcel: Parcel | None = None
) -> Dispatch:
    """Send everything in a parcel of the order (None: the oldest that is here): it is sold that day, and the promise is kept.

    `carriage`: what of the order's carriage goes with it, net minor units; None: all that is left of it.
    """
    order = Order.objects.lock(order)
    require_standing(order)
    if order.sale_or_return:
        raise refusal(None, _("It is on sale or return. Hand it over; what is sold is reported later."), code="sale_or_return")
    parcel = parcel_to_go(order, on, parcel)
    packed = packed_in(parcel)
    lock_lines(line.line_id for line in packed)
    dispatch = record(Dispatch(on=on, order=order, parcel=parcel, carriage=_carriage(order, carriage)), by=by)
    for order_line, batches in packed.items():
        use_hold(by=by, hold=order_line.hold, on=on, bunches=sum(batches.values()))
        for batch, bunches in batches.items():
            send_batch(by, dispatch, order_line, batch, bunches)
    return dispatch


def _carriage(order: Order, typed: int | None) -> int:
    left = carriage_left(order)
    if typed is not None and typed > left:
        raise refusal(
            "carriage", _("Only %(left)s of its carriage is left. Change the order's carriage first."), code="too_much",
            left=in_money(left),
        )
    return left if typed is None else typed


def parcel_to_go(order: Order, on: date, meant: Parcel | None) -> Parcel:
    """The parcel meant, else the oldest that is here, with something in it that was packed by that day."""
    found = Parcel.objects.to_go().filter(order=order)
    parcel = found.first() if meant is None else found.filter(pk=meant.pk).first()
    if parcel is None and meant is not None:
        raise refusal("parcel", _("Parcel %(parcel)s is empty or gone. Choose another."), code="nothing_packed", parcel=meant)
    if parcel is None:
        raise refusal(None, _("Nothing is packed for this order. Pack it first."), code="nothing_packed")
    last = parcel.packings.standing().aggregate(last=Max("on"))["last"]
    if on < last:
        raise refusal("on", _("It was packed only on %(on)s."), code="too_early", on=last)
    return parcel


def packed_in(parcel: Parcel) -> dict[OrderLine, dict[Batch, int]]:
    """What stands packed in a parcel: order line -> batch -> bunches, in order of line and batch."""
    packings = parcel.packings.standing()
    sums = packings.values_list("order_line", "taken__batch").annotate(n=Sum("bunches")).order_by("order_line", "taken__batch")
    lines = OrderLine.objects.select_related("line", "hold").in_bulk({line for line, _batch, _n in sums})
    batches = Batch.objects.in_bulk({batch for _line, batch, _n in sums})
    packed: dict[OrderLine, dict[Batch, int]] = defaultdict(dict)
    for line, batch, bunches in sums:
        packed[lines[line]][batches[batch]] = bunches
    return packed


def send_batch(by: User, dispatch: Dispatch, order_line: OrderLine, batch: Batch, bunches: int) -> None:
    """Send bunches of one batch out of the dispatch's parcel."""
    sold = sell_bunches(
        by=by, on=dispatch.on, line=order_line.line, bunches=bunches, box=dispatch.parcel.box, batch=batch,
        beyond_record=True,
    )
    for movement in sold:
        keep(DispatchLine(dispatch=dispatch, order_line=order_line, bunches=-movement.bunches, movement=movement))


@action("packing")
def undo_dispatch(*, by: User, dispatch: Dispatch) -> Dispatch:
    """Undo a dispatch that was not invoiced: its bunches are in the parcel again and promised as before."""
    Order.objects.lock(dispatch.order)
    if Reported.objects.standing().filter(dispatch=dispatch).exists():
        raise refusal(None, _("It is what a report said was sold. Undo that report instead."), code="part_of_more")
    return undo_dispatch_of(by, dispatch)


def undo_dispatch_of(by: User, dispatch: Dispatch) -> Dispatch:
    """Undo a dispatch, its order being locked."""
    lines = list(dispatch.lines.select_related("order_line__line", "order_line__hold", "movement__batch"))
    if InvoiceLine.objects.filter(dispatch_line__in=lines).exists():
        raise refusal(None, _("It was invoiced. An invoice is never undone; credit it instead."), code="invoiced")
    lock_lines(line.order_line.line_id for line in lines)
    dispatch = mark_undone(Dispatch.objects.lock(dispatch), by=by)
    by_order_line: dict[OrderLine, list[DispatchLine]] = defaultdict(list)
    for line in reversed(lines):
        by_order_line[line.order_line].append(line)
    for order_line, its in by_order_line.items():
        for line in its:
            undo_movement(by=by, movement=line.movement)
        _promise_again(by, order_line, dispatch)
    return dispatch


def _promise_again(by: User, order_line: OrderLine, dispatch: Dispatch) -> None:
    """Undo what the dispatch used of the hold: also what it was left short of, counted as filled again just before it was used.

    It was recorded after the dispatch and before the order's next.
    """
    later = Dispatch.objects.filter(order=dispatch.order, pk__gt=dispatch.pk).order_by("pk").values_list("recorded_at", flat=True)
    used = order_line.hold.changes.standing().filter(
        why__in=[HoldChange.Why.USED, HoldChange.Why.REFILLED], recorded_at__gte=dispatch.recorded_at,
    )
    until = later.first()
    changes = list((used if until is None else used.filter(recorded_at__lt=until)).order_by("-pk"))
    changes = list(dropwhile(lambda change: change.why != HoldChange.Why.USED, changes))
    if changes:
        undo_hold_changes(by=by, changes=changes)
