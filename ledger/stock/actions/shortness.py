"""Promises that stock no longer covers."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.db.models import Max

from ledger.facts.models import User
from ledger.facts.writing import keep, mark_undone, record
from ledger.stock.models import Balance, Hold, HoldChange
from ledger.stock.queries.seasons import spare_of_season


def mark_short(*, by: User, balance: Balance, on: date, bunches: int, season: int | None = None) -> list[HoldChange]:
    """Leave the latest promises of a line (those of one season only) short by so many bunches, its balance being locked.

    A hold that changed after `on` is left short from its own last day on.
    """
    marked = []
    holds = Hold.objects.standing().filter(line=balance.line_id).with_kept().filter(kept__gt=0)
    if season is not None:
        holds = holds.filter(season=season)
    for hold in holds.order_by("-on", "-pk"):
        if bunches == 0:
            break
        short = min(hold.kept, bunches)
        last = hold.changes.standing().aggregate(last=Max("on"))["last"]
        marked.append(record(HoldChange(hold=hold, on=max(on, last), bunches=-short, why=HoldChange.Why.SHORT), by=by))
        balance.held -= short
        bunches -= short
    keep(balance)
    return marked


def promise_again(*, by: User, balance: Balance, shorts: Iterable[HoldChange]) -> None:
    """Keep again what rows now undone had left short, its balance being locked; as far as it is short still and free.

    Not what was filled again, sent or given up since.
    """
    for short in shorts:
        hold = Hold.objects.with_short().get(pk=short.hold_id)
        again = min(-short.bunches, hold.short, balance.free)  # type: ignore[attr-defined]
        if hold.season is not None and again > 0:
            again = min(again, spare_of_season(hold.line_id, hold.season))
        if again == -short.bunches:
            mark_undone(HoldChange.objects.lock(short), by=by)
        elif again > 0:
            record(HoldChange(hold=short.hold, on=short.on, bunches=again, why=HoldChange.Why.REFILLED), by=by)
        balance.held += max(again, 0)
    keep(balance)
