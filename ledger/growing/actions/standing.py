"""What every verb upon a planting asks first."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.writing import refusal, require_standing

from ..models import Planting


def lock_standing(planting: Planting) -> Planting:
    """Read the planting again and hold it; refuse one undone."""
    locked = Planting.objects.lock(planting)
    require_standing(locked)
    return locked


def not_before(planting: Planting, on: date) -> None:
    """Refuse a day before it was planted."""
    if on < planting.on:
        raise refusal("on", _("It was planted only on %(on)s."), code="too_early", on=planting.on)
