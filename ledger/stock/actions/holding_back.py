"""Boxes held back from sale until a day, with the reason."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record, refusal, require_standing
from ledger.stock.models import Box, HeldBack, LetGo
from ledger.stock.queries import lines_in

from .book import lock_lines
from .boxes import require_no_parcel


@action("boxes")
def hold_back(*, by: User, on: date, box: Box, until: date, why: str) -> HeldBack:
    """Keep what is in a box from being offered, promised or picked, up to and including a day; never refused for promises."""
    require_no_parcel(box)
    lock_lines(lines_in(box))
    box = Box.objects.select_for_update(no_key=True).get(pk=box.pk)
    if until < on:
        raise refusal("until", _("That lies before the day it is held back."), code="backwards")
    earlier = HeldBack.objects.overlapping(box, on, until).first()
    if earlier is not None:
        raise refusal(
            "until", _("It is held back from %(first)s to %(until)s already. Let it go first."), code="already_held_back",
            first=earlier.on, until=earlier.until,
        )
    return record(HeldBack(on=on, box=box, until=until, why=why), by=by)


@action("boxes")
def let_go(*, by: User, on: date, held_back: HeldBack) -> LetGo:
    """Let a box go before its time, from this day on."""
    held_back = HeldBack.objects.lock(held_back)
    require_standing(held_back)
    if on < held_back.on:
        raise refusal("on", _("It was held back only on %(on)s."), code="too_early", on=held_back.on)
    if on > held_back.until:
        raise refusal("on", _("It was held back until %(until)s only."), code="past", until=held_back.until)
    return record(LetGo(on=on, held_back=held_back), by=by)


@action("boxes")
def undo_hold_back(*, by: User, held_back: HeldBack) -> HeldBack:
    """Undo a box being held back, as if it never had been."""
    return undo_within(held_back, by=by)


@action("boxes")
def undo_let_go(*, by: User, let_go: LetGo) -> LetGo:
    """Undo a box being let go: it is held back as before, unless it was held back anew since."""
    held = HeldBack.objects.lock(let_go.held_back)
    box = Box.objects.select_for_update(no_key=True).get(pk=held.box_id)
    other = HeldBack.objects.overlapping(box, let_go.on, held.until).exclude(pk=held.pk).first()
    if other is not None:
        raise refusal(
            None, _("It is held back anew from %(first)s to %(until)s. Undo that first."), code="already_held_back",
            first=other.on, until=other.until,
        )
    return undo_within(let_go, by=by)
