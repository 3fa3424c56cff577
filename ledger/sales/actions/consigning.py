"""Goods out on sale or return: handed over, reported sold or brought back.

What is handed over stays the holding's: on hand, in its parcel, kept for the order. A report closes the parcel: what was sold
is sent that day, with the carriage that is left, what came back is in a box again, free and no longer asked for, what is still
there goes on in a parcel of its own.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, record, refusal, require_standing
from ledger.sales.models import AskedChange, Dispatch, HandedOver, Order, OrderLine, Packing, Parcel, Reported, ReportedBack
from ledger.sales.queries.carriage import carriage_left
from ledger.stock.actions import give_up, lock_lines, move, undo_movement, use_hold
from ledger.stock.models import Batch, Box, Hold
from ledger.stock.queries import lowest_kept

from .packing import new_parcel, packed_in, parcel_to_go, send_batch, undo_dispatch_of
from .promises import undo_asked_change_of


@dataclass(frozen=True)
class SaidOf:
    """Of one batch packed for one line: so many sold, so many brought back; the rest is still with the customer."""

    order_line: OrderLine
    batch: Batch
    sold: int = 0
    back: int = 0


@action("packing")
def hand_over(*, by: User, order: Order, on: date, parcel: Parcel | None = None) -> HandedOver:
    """Hand a parcel of an order on sale or return (None: the oldest that is here) to the customer: nothing is sold by it yet."""
    order = Order.objects.lock(order)
    require_standing(order)
    if not order.sale_or_return:
        raise refusal(None, _("It is no order on sale or return. Send it instead."), code="sold_outright")
    return record(HandedOver(on=on, parcel=parcel_to_go(order, on, parcel)), by=by)


@action("packing")
def undo_hand_over(*, by: User, handed_over: HandedOver) -> HandedOver:
    """Undo a handing over of which nothing was reported: the parcel is here again."""
    Order.objects.lock(handed_over.parcel.order)
    handed_over = HandedOver.objects.lock(handed_over)
    if handed_over.reports.standing().exists():
        raise refusal(None, _("It was reported on. Undo the report first."), code="rested_on")
    if Reported.objects.standing().filter(goes_on_in=handed_over.parcel).exists():
        raise refusal(None, _("It is what a report left there. Undo that report instead."), code="part_of_more")
    return mark_undone(handed_over, by=by)


@action("packing")
def report(
    *, by: User, handed_over: HandedOver, on: date, said: Sequence[SaidOf], box: Box | None = None
) -> Reported:
    """Record what the customer reports of a parcel: sold is sent that day, brought back lies in `box` (None: not boxed).

    Refused beyond what the parcel holds, and when nothing was sold nor came back.
    """
    handed_over = _open(handed_over, on)
    parcel = handed_over.parcel
    there = packed_in(parcel)
    lock_lines(line.line_id for line in there)
    sold, back = _checked(said, there, box)
    dispatch = _send(by, handed_over, on, sold) if sold else None
    left = {line: dict(batches) for line, batches in there.items()}
    for gone in (sold, back):
        for line, batches in gone.items():
            for batch, bunches in batches.items():
                left[line][batch] -= bunches
    reported = record(Reported(on=on, handed_over=handed_over, dispatch=dispatch, goes_on_in=_go_on(by, parcel, on, left)), by=by)
    for line, batches in back.items():
        _bring_back(by, reported, line, batches, box)
    return reported


Many = dict[OrderLine, dict[Batch, int]]


def _open(handed_over: HandedOver, on: date) -> HandedOver:
    Order.objects.lock(handed_over.parcel.order)
    handed_over = HandedOver.objects.lock(handed_over)
    require_standing(handed_over)
    if handed_over.reports.standing().exists():
        raise refusal(
            None, _("That parcel was reported on already; go on from the one that followed it."), code="reported"
        )
    if on < handed_over.on:
        raise refusal("on", _("It was handed over only on %(on)s."), code="too_early", on=handed_over.on)
    return handed_over


def _checked(said: Sequence[SaidOf], there: Mapping[OrderLine, Mapping[Batch, int]], box: Box | None) -> tuple[Many, Many]:
    """What was sold and what came back, by line and batch, no more than the parcel holds."""
    if box is not None and box.parcel:
        raise refusal("box", _("Box %(box)s is packed for an order already."), code="parcel", box=box)
    sold: Many = defaultdict(dict)
    back: Many = defaultdict(dict)
    for one in said:
        held = there.get(one.order_line, {}).get(one.batch, 0)
        if min(one.sold, one.back) < 0 or one.sold + one.back > held:
            raise refusal("said", _("%(n)d of %(batch)s were handed over; no more can be sold or come back."), code="too_many",
                          n=held, batch=one.batch)
        if one.batch in sold[one.order_line] or one.batch in back[one.order_line]:
            raise refusal("said", _("%(batch)s is named twice."), code="twice", batch=one.batch)
        if one.sold:
            sold[one.order_line][one.batch] = one.sold
        if one.back:
            back[one.order_line][one.batch] = one.back
    if not any(sold.values()) and not any(back.values()):
        raise refusal("said", _("Say what was sold or came back."), code="nothing_said")
    return {line: some for line, some in sold.items() if some}, {line: some for line, some in back.items() if some}


def _send(by: User, handed_over: HandedOver, on: date, sold: Many) -> Dispatch:
    parcel = handed_over.parcel
    carriage = carriage_left(parcel.order)
    dispatch = record(Dispatch(on=on, order=parcel.order, parcel=parcel, carriage=carriage), by=by)
    for line, batches in sold.items():
        use_hold(by=by, hold=line.hold, on=on, bunches=sum(batches.values()))
        for batch, bunches in batches.items():
            send_batch(by, dispatch, line, batch, bunches)
    return dispatch


def _go_on(by: User, parcel: Parcel, on: date, left: Many) -> Parcel | None:
    """The parcel in which what is still there goes on, handed over that day; None where nothing is."""
    if not any(bunches for batches in left.values() for bunches in batches.values()):
        return None
    onward = new_parcel(by, parcel.order)
    for line, batches in left.items():
        for batch, bunches in batches.items():
            if bunches:
                taken, put = move(
                    by=by, on=on, batch=batch, bunches=bunches, source=parcel.box, target=onward.box, packing=True
                )
                record(Packing(on=on, order_line=line, parcel=onward, bunches=bunches, taken=taken, put=put), by=by)
    record(HandedOver(on=on, parcel=onward), by=by)
    return onward


def _bring_back(by: User, reported: Reported, line: OrderLine, batches: Mapping[Batch, int], box: Box | None) -> None:
    for batch, bunches in batches.items():
        taken, _put = move(
            by=by, on=reported.on, batch=batch, bunches=bunches, source=reported.handed_over.parcel.box, target=box, packing=True
        )
        promised = Hold.objects.with_short().get(pk=line.hold_id).short + max(lowest_kept(line.hold, reported.on), 0)
        back = min(bunches, promised)
        released = give_up(by=by, hold=line.hold, on=reported.on, bunches=back) if back else None
        fewer = record(AskedChange(on=reported.on, order_line=line, more=-bunches, released=released), by=by)
        keep(ReportedBack(report=reported, order_line=line, bunches=bunches, taken=taken, asked_change=fewer))


@action("packing")
def undo_report(*, by: User, reported: Reported) -> Reported:
    """Undo a report, the latest of its goods: all is with the customer again. Refused once what was sold is invoiced."""
    Order.objects.lock(reported.handed_over.parcel.order)
    reported = Reported.objects.lock(reported)
    onward = reported.goes_on_in
    after = HandedOver.objects.standing().filter(parcel=onward).first() if onward else None
    if after is not None and after.reports.standing().exists():
        raise refusal(None, _("What was left there was reported on since. Undo that report first."), code="rested_on")
    lock_lines(Packing.objects.filter(parcel=reported.handed_over.parcel).values_list("order_line__line", flat=True))
    reported = mark_undone(reported, by=by)
    for row in reported.back.select_related("taken", "asked_change__released").order_by("-pk"):
        undo_movement(by=by, movement=row.taken)
        undo_asked_change_of(by, row.asked_change)
    if after is not None:
        mark_undone(after, by=by)
        for packing in onward.packings.standing().select_related("taken").order_by("-pk"):  # type: ignore[union-attr]
            mark_undone(packing, by=by)
            undo_movement(by=by, movement=packing.taken)
    if reported.dispatch is not None:
        undo_dispatch_of(by, reported.dispatch)
    return reported
