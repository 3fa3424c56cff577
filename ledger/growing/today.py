"""What growing has to say today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from django.urls import reverse
from django.utils.translation import ngettext

from ledger.facts.models import User

from .models import Lot

LONG_IN_WATER = timedelta(days=2)


def notes(user: User, on: date) -> Iterator[tuple[Any, str]]:
    """Lots with stems in water for two days or more: common practice is about one, no source."""
    if not user.may("field"):
        return
    waiting = Lot.objects.in_water(on).filter(on__lte=on - LONG_IN_WATER).count()
    if waiting:
        says = ngettext(
            "%(n)d lot has stood in water for two days or more", "%(n)d lots have stood in water for two days or more", waiting
        ) % {"n": waiting}
        yield says, f"{reverse('growing:lots')}?state=in_water"
