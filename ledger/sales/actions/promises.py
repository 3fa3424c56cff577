"""What becomes of an order's lines: promised later, filled again, to come later, stood in for, cancelled in part."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, mark_undone, record, refusal
from ledger.sales.models import AskedChange, Later, OrderLine, ReportedBack
from ledger.stock.actions import fill_again, give_up, hold_more, undo_hold_change, undo_hold_changes
from ledger.stock.models import HoldChange, Line

from .orders import Asked, free_of, lock_order_line, promise_line
from .retail import MOST

LACKING = _("Only %(open)d are asked for and not promised.")

@action("selling")
def promise_more(*, by: User, order_line: OrderLine, on: date, bunches: int) -> HoldChange:
    """Promise more of what was asked for; never beyond what is asked for now and nothing stands in for."""
    order_line = lock_order_line(order_line)
    if bunches > order_line.open:
        raise refusal("bunches", _("Only %(open)d more were asked for."), code="too_many", open=order_line.open)
    return hold_more(by=by, hold=order_line.hold, on=on, bunches=bunches)


@action("selling")
def fill(*, by: User, order_line: OrderLine, on: date) -> OrderLine:
    """Promise of a line what is free: first what was left short, then what was asked for and never promised."""
    order_line = lock_order_line(order_line)
    free = free_of(order_line.line, order_line.hold.season, on)
    if not order_line.lacking:
        raise refusal(None, _("All that is asked for is promised."), code="nothing_lacking")
    if free < 1:
        raise refusal(None, _("Nothing of %(line)s is free."), code="not_free", line=order_line.line)
    again = min(order_line.short, free)
    if again:
        fill_again(by=by, hold=order_line.hold, on=on, bunches=again)
    more = min(order_line.open, free - again)
    if more:
        hold_more(by=by, hold=order_line.hold, on=on, bunches=more)
    return order_line


@action("selling")
def come_later(
    *, by: User, order_line: OrderLine, on: date, bunches: int, hoped_for: date | None = None
) -> Later:
    """Note that so many are to come out of what hangs or waits, hoped for by a day; nothing is promised by it."""
    order_line = _open_line(order_line, on)
    if bunches > order_line.lacking:
        raise refusal("bunches", LACKING, code="too_many", open=order_line.lacking)
    if hoped_for is not None and hoped_for < on:
        raise refusal("hoped_for", _("That day is over; hope for a later one."), code="too_early")
    if order_line.laters.standing().exists():
        raise refusal(None, _("Some of it is to come later already; undo that to say it anew."), code="twice")
    return record(Later(on=on, order_line=order_line, bunches=bunches, hoped_for=hoped_for), by=by)


@action("selling")
def undo_later(*, by: User, later: Later) -> Later:
    """Undo what was said to come later."""
    return undo_within(later, by=by)


@action("selling")
def stand_in(
    *, by: User, order_line: OrderLine, on: date, line: Line, bunches: int, price: int | None = None
) -> OrderLine:
    """Promise another line in the place of what of an order's line is not promised; nothing that was asked for is changed.

    Cancelled, it stands in no longer, and what it stood in for is open again. `price`: net of one; None: what the line it
    stands in for costs.
    """
    order_line = _open_line(order_line, on, [line.pk])
    if line.pk == order_line.line_id:
        raise refusal("line", _("That is the line itself; promise more of it."), code="same_line")
    if not 1 <= bunches <= MOST:
        raise refusal("bunches", _("Give at least one."), code="too_few")
    most = min(order_line.lacking, order_line.not_packed)
    if bunches > most:
        raise refusal("bunches", LACKING, code="too_many", open=most)
    if bunches > order_line.open:
        give_up(by=by, hold=order_line.hold, on=on, bunches=bunches - order_line.open)
    asked = Asked(line, bunches, bunches)
    return promise_line(by, order_line.order, asked, on, order_line.price if price is None else price, order_line)


@action("selling")
def ask_more(*, by: User, order_line: OrderLine, on: date, bunches: int) -> AskedChange:
    """Note that the customer wants so many more; promising them is the next step."""
    order_line = _open_line(order_line, on)
    if not 1 <= bunches <= MOST - order_line.wanted:
        raise refusal("bunches", _("Between 1 and %(most)d, please."), code="absurd", most=MOST)
    if order_line.instead_of_id is not None:
        raise refusal(None, _("It stands in for another line. Put more in for that one instead."), code="instead")
    return record(AskedChange(on=on, order_line=order_line, more=bunches), by=by)


@action("selling")
def cancel(*, by: User, order_line: OrderLine, on: date, bunches: int, only_lacking: bool = False) -> AskedChange:
    """Note that the customer wants so many fewer: first what is not promised, then what was left short, then what is kept.

    Nothing that is packed or sent; what was kept of it is free for others again. `only_lacking`: refused where it would take
    what is kept, as a press does that was meant for what lacked when its page was opened.
    """
    order_line = _open_line(order_line, on)
    if bunches < 1:
        raise refusal("bunches", _("Give at least one."), code="too_few")
    left = order_line.not_packed
    if bunches > left:
        raise refusal("bunches", _("Only %(left)d are neither packed nor sent."), code="too_many", left=left)
    lacking = max(order_line.lacking, 0)  # type: ignore[attr-defined]
    if only_lacking and bunches > lacking:
        says = _("Only %(n)d lack now, the others are promised. Say how many under “Cancel in part”.")
        raise refusal("bunches", says, code="promised_since", n=lacking)
    back = bunches - min(bunches, max(order_line.open, 0))
    released = give_up(by=by, hold=order_line.hold, on=on, bunches=back) if back else None
    return record(AskedChange(on=on, order_line=order_line, more=-bunches, released=released), by=by)


@action("selling")
def undo_asked_change(*, by: User, change: AskedChange) -> AskedChange:
    """Undo a change of what is asked for, with what was given back by it; never below what is promised or stood in for."""
    if ReportedBack.objects.filter(asked_change=change).exists():
        raise refusal(None, _("It is what a report said came back. Undo that report instead."), code="part_of_more")
    return undo_asked_change_of(by, change)


def undo_asked_change_of(by: User, change: AskedChange) -> AskedChange:
    """Undo a change of what is asked for, whatever it is part of."""
    order_line = lock_order_line(change.order_line)
    instead_of = OrderLine.objects.with_standing().filter(pk=order_line.instead_of_id).first()
    taken_up = instead_of is not None and not hasattr(change, "reported_back") and -change.more > instead_of.open
    if taken_up:
        raise refusal(None, _("What it stood in for was cancelled too, or is promised again. Undo that first."), code="rested_on")
    if change.more > order_line.open:
        raise refusal(None, _("They are promised already, or another line stands in for them."), code="rested_on")
    change = mark_undone(AskedChange.objects.lock(change), by=by)
    if change.released is not None:
        undo_hold_changes(by=by, changes=[*_filled_with(change, change.released), change.released])
    return change


def _filled_with(change: AskedChange, released: HoldChange) -> list[HoldChange]:
    """What counted as filled again in giving up what was short: recorded after the giving back and before the change."""
    filled = released.hold.changes.standing().filter(why=HoldChange.Why.REFILLED, pk__gt=released.pk)
    return list(filled.filter(recorded_at__lte=change.recorded_at).order_by("-pk"))


@action("selling")
def undo_promise(*, by: User, change: HoldChange) -> HoldChange:
    """Undo a later promise, or a giving back; never so that less is kept than is packed."""
    order_line = lock_order_line(OrderLine.objects.get(hold=change.hold))
    whys = {HoldChange.Why.PROMISED, HoldChange.Why.RELEASED}
    if change.why not in whys or change.pk == _first(order_line).pk or hasattr(change, "asked_change"):
        raise refusal(None, _("That is part of the order, of a change or of a dispatch. Undo that instead."), code="part_of_more")
    if change.bunches > order_line.to_pack:
        raise refusal(None, _("They are packed already. Unpack them first."), code="rested_on")
    if -change.bunches > order_line.open:
        raise refusal(None, _("As many as were asked for are promised again."), code="rested_on")
    return undo_hold_change(by=by, change=change)


def _first(order_line: OrderLine) -> HoldChange:
    """The promise made when the order was taken; an empty change where nothing was promised then."""
    first = order_line.hold.changes.order_by("pk").first()
    return first if order_line.promised and first else HoldChange()


def _open_line(order_line: OrderLine, on: date, also: Iterable[int] = ()) -> OrderLine:
    order_line = lock_order_line(order_line, also)
    if on < order_line.order.on:
        raise refusal("on", _("It was ordered only on %(on)s."), code="too_early", on=order_line.order.on)
    return order_line
