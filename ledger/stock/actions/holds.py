"""Keeping bunches of a line for a promise."""

from __future__ import annotations

from datetime import date

from django.db.models import Max
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, keep, record, refusal, require_standing
from ledger.stock.models import Balance, Hold, HoldChange, Line
from ledger.stock.queries import lowest_free, lowest_kept
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
    """Keep again what a hold was left short of, now that there is more; not for a job that is over."""
    hold, balance = _open(hold, on)
    if Hold.objects.of_jobs_over().filter(pk=hold.pk).exists():
        raise refusal(None, _("That job is over: nothing is kept for it. Undo its end first, if it goes on."), code="job_over")
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
def give_up(*, by: User, hold: Hold, on: date, bunches: int) -> HoldChange:
    """Let so many of a promise go: first what it was left short of, owed no more, then what it keeps, free for anybody.

    Returns the giving back of both; what was short counts as filled again just after it.
    """
    hold, balance = _open(hold, on)
    _require_some(bunches)
    owed = min(bunches, Hold.objects.with_short().get(pk=hold.pk).short)
    if bunches > owed:
        _require_kept(hold, on, bunches - owed)
    return _change(by, hold, balance, (on, -bunches, HoldChange.Why.RELEASED), (on, owed, HoldChange.Why.REFILLED))[0]


@action("selling")
def use_hold(*, by: User, hold: Hold, on: date, bunches: int) -> HoldChange | None:
    """Note that bunches were sent on a hold; the sale itself is posted by `sell_bunches`.

    Never refused for want: what was sent beyond what it keeps that day is taken from what it keeps on its own last day only,
    then from what it was left short of, which is owed no more. Returns the first change, None when there is nothing of either.
    """
    hold, balance = _open(hold, on)
    now = Hold.objects.with_kept().with_short().get(pk=hold.pk)
    used = min(bunches, max(lowest_kept(hold, on), 0))
    later = min(bunches, now.kept) - used
    owed = min(bunches - used - later, now.short)
    last = hold.changes.standing().aggregate(last=Max("on"))["last"] or on
    made = _change(
        by, hold, balance, (on, -used, HoldChange.Why.USED), (max(on, last), -later, HoldChange.Why.USED),
        (on, owed, HoldChange.Why.REFILLED), (on, -owed, HoldChange.Why.USED),
    )
    return made[0] if made else None


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
    return _change(by, hold, balance, (on, bunches, why))[0]


def _keep_less(by: User, hold: Hold, balance: Balance, on: date, bunches: int, why: str) -> HoldChange:
    _require_some(bunches)
    _require_kept(hold, on, bunches)
    return _change(by, hold, balance, (on, -bunches, why))[0]


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


def _change(by: User, hold: Hold, balance: Balance, *changes: tuple[date, int, str]) -> list[HoldChange]:
    """Record changes of a hold (day, bunches, why), those of nil left out, and keep the balance."""
    made = [record(HoldChange(hold=hold, on=on, bunches=n, why=why), by=by) for on, n, why in changes if n]
    balance.held += sum(change.bunches for change in made)
    keep(balance)
    return made
