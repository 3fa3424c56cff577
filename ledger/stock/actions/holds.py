"""Keeping bunches of a line for a promise."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, record, refusal, require_standing
from ledger.stock.models import Balance, Hold, HoldChange, Line
from ledger.stock.queries import lowest_free, lowest_kept, lowest_unpromised
from ledger.stock.queries.seasons import lowest_free_of_season

from .book import lock_lines


@action("selling")
def hold(
    *, by: User, on: date, line: Line, bunches: int, for_what: str, season: int | None = None, locked: Balance | None = None
) -> Hold:
    """Keep bunches of a line (of one season only, where asked) for a promise; refuse more than are free from that day on.

    Nil is allowed. `locked`: the line's balance as the verb this is part of has just locked it (None: it is locked here).
    """
    balance = locked or lock_lines([line])[line.pk]
    kept = record(Hold(on=on, line=line, for_what=for_what, season=season), by=by)
    if bunches:
        _keep_more(by, kept, balance, on, bunches, HoldChange.Why.PROMISED)
    return kept


@action("selling")
def hold_more(*, by: User, hold: Hold, on: date, bunches: int) -> HoldChange:
    """Promise more on a hold."""
    hold, balance = _open(hold, on)
    return _keep_more(by, hold, balance, on, bunches, HoldChange.Why.PROMISED)


@action("selling")
def fill_again(*, by: User, hold: Hold, on: date, bunches: int) -> HoldChange:
    """Keep again what a hold was left short of, now that there is more."""
    hold, balance = _open(hold, on)
    short = Hold.objects.with_short().get(pk=hold.pk).short
    if bunches > short:
        raise refusal("bunches", _("It is short of %(short)d only."), code="too_many", short=short)
    return _keep_more(by, hold, balance, on, bunches, HoldChange.Why.REFILLED)


@action("selling")
def release(*, by: User, hold: Hold, on: date, bunches: int) -> HoldChange:
    """Give bunches a hold keeps back to anybody."""
    hold, balance = _open(hold, on)
    return _keep_less(by, hold, balance, on, bunches, HoldChange.Why.RELEASED)


@action("selling")
def forgo(*, by: User, hold: Hold, on: date, bunches: int) -> HoldChange:
    """Let go what a hold was left short of: it is owed no more. As if filled again and given back at once; nothing moves."""
    hold, _balance = _open(hold, on)
    short = Hold.objects.with_short().get(pk=hold.pk).short
    if not 1 <= bunches <= short:
        raise refusal("bunches", _("It is short of %(short)d only."), code="too_many", short=short)
    record(HoldChange(hold=hold, on=on, bunches=bunches, why=HoldChange.Why.REFILLED), by=by)
    return record(HoldChange(hold=hold, on=on, bunches=-bunches, why=HoldChange.Why.RELEASED), by=by)


@action("selling")
def use_hold(*, by: User, hold: Hold, on: date, bunches: int) -> HoldChange | None:
    """Note that bunches were sent on a hold; the sale itself is posted by `sell_bunches`.

    Never refused for want: a hold left short gives what it still keeps, None
    when that is nothing.
    """
    hold, balance = _open(hold, on)
    used = min(bunches, max(lowest_kept(hold, on), 0))
    return _change(by, hold, balance, on, -used, HoldChange.Why.USED) if used else None


@action("selling")
def undo_hold_change(*, by: User, change: HoldChange) -> HoldChange:
    """Undo a change of a hold (a sending undone), if what it keeps still fits, boxes held back or not."""
    balance = lock_lines([change.hold.line_id])[change.hold.line_id]
    change = HoldChange.objects.lock(change)
    if change.bunches < 0:
        _require_at_most(lowest_unpromised(change.hold.line, change.on), change.hold.line, -change.bunches)
    else:
        _require_kept(change.hold, change.on, change.bunches)
    change = mark_undone(change, by=by)
    balance.held -= change.bunches
    keep(balance)
    return change


def _open(hold: Hold, on: date) -> tuple[Hold, Balance]:
    """The hold as it stands now and its line's balance, both locked."""
    line = hold.line
    balance = lock_lines([line])[line.pk]
    hold = Hold.objects.lock(hold)
    hold.line = line
    require_standing(hold)
    if on < hold.on:
        raise refusal("on", _("It was promised only on %(on)s."), code="too_early", on=hold.on)
    return hold, balance


def _keep_more(by: User, hold: Hold, balance: Balance, on: date, bunches: int, why: str) -> HoldChange:
    _require_some(bunches)
    _require_free(hold.line, on, bunches)
    _require_of_season(hold, on, bunches)
    return _change(by, hold, balance, on, bunches, why)


def _keep_less(by: User, hold: Hold, balance: Balance, on: date, bunches: int, why: str) -> HoldChange:
    _require_some(bunches)
    _require_kept(hold, on, bunches)
    return _change(by, hold, balance, on, -bunches, why)


def _require_some(bunches: int) -> None:
    if bunches < 1:
        raise refusal("bunches", _("Give at least one."), code="too_few")


def _require_free(line: Line, on: date, bunches: int) -> None:
    _require_at_most(lowest_free(line, on), line, bunches)


def _require_of_season(hold: Hold, on: date, bunches: int) -> None:
    """Refuse more than is on hand of the season asked for and not held for it already."""
    if hold.season is None:
        return
    free = max(lowest_free_of_season(hold.line, hold.season, on), 0)
    if bunches > free:
        raise refusal(
            "bunches", _("Only %(free)d of %(line)s of season %(season)s are free."), code="not_of_season", free=free,
            line=hold.line, season=str(hold.season),
        )


def _require_at_most(free: int, line: Line, bunches: int) -> None:
    free = max(free, 0)
    if bunches > free:
        raise refusal("bunches", _("Only %(free)d of %(line)s are free."), code="not_free", free=free, line=line)


def _require_kept(hold: Hold, on: date, bunches: int) -> None:
    kept = max(lowest_kept(hold, on), 0)
    if bunches > kept:
        raise refusal("bunches", _("It keeps only %(kept)d."), code="too_many", kept=kept)


def _change(by: User, hold: Hold, balance: Balance, on: date, bunches: int, why: str) -> HoldChange:
    change = record(HoldChange(hold=hold, on=on, bunches=bunches, why=why), by=by)
    balance.held += bunches
    keep(balance)
    return change
