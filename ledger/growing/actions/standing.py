"""What every verb upon a planting asks first."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.writing import refusal, require_standing

from ..models import Planting
from ..queries import cleared_on


def lock_standing(planting: Planting) -> Planting:
    """Read the planting again and hold it; refuse one undone."""
    locked = Planting.objects.lock(planting)
    require_standing(locked)
    return locked


def not_before(planting: Planting, on: date) -> None:
    """Refuse a day before it was planted."""
    if on < planting.on:
        raise refusal("on", _("It was planted only on %(on)s."), code="too_early", on=planting.on)


def while_it_stood(planting: Planting, on: date) -> None:
    """Refuse a day before it was planted or after it was cleared."""
    not_before(planting, on)
    gone = cleared_on(planting)
    if gone is not None and on > gone:
        raise refusal("on", _("It was cleared on %(gone)s."), code="cleared", gone=gone)


def only_perennial(planting: Planting) -> None:
    """Refuse what is done to perennials alone."""
    if not planting.perennial:
        raise refusal(None, _("It was entered as no perennial, so it has one season only."), code="no_perennial")


def not_before_last(planting: Planting, on: date) -> None:
    """Refuse a clearing before the last day something was done to the planting while it stood."""
    done: tuple[tuple[Any, Any], ...] = (
        (planting.lots, _("Stems were still cut from it on %(last)s.")),
        (planting.planted_out, _("It was still being planted out on %(last)s.")),
        (planting.part_clearings, _("Part of it was cleared on %(last)s.")),
        (planting.divisions, _("It was still divided on %(last)s.")),
        (planting.cuttings_over, _("It was still cut over on %(last)s.")),
        (planting.seedlings_dumped, _("Spare plants of it were thrown away on %(last)s.")),
    )
    for facts, says in done:
        last = facts.standing().order_by("-on").first()
        if last is not None and on < last.on:
            raise refusal("on", says, code="too_early", last=last.on)
