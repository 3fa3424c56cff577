"""What drying has to say today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from django.db.models import F
from django.urls import reverse
from django.utils.translation import ngettext

from ledger.facts.models import User

from .models import Hanging


def notes(user: User, on: date) -> Iterator[tuple[Any, str]]:
    """Hangings up longer than their species usually takes to dry."""
    if not user.may("loft"):
        return
    up = Hanging.objects.still_up(on).annotate(days_to_dry=F("parting__lot__planting__variety__species__days_to_dry"))
    known = up.filter(days_to_dry__isnull=False).values_list("on", "days_to_dry")
    due = sum(1 for hung, days in known if hung + timedelta(days=days) <= on)
    if due:
        says = ngettext("%(n)d hanging should be dry by now", "%(n)d hangings should be dry by now", due) % {"n": due}
        yield says, f"{reverse('drying:hangings')}?state=up"
