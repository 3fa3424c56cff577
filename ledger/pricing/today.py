"""What pricing has to say today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils.translation import ngettext

from ledger.facts.models import User

from .models import Price
from .queries.warnings import prices_to_look_at


def notes(user: User, on: date) -> Iterator[tuple[Any, str]]:
    """Prices below cost, and others that matter; for those who see costs and set prices."""
    if not (user.may("see_costs") and user.may("prices")) or not Price.objects.exists():
        return
    pressing = [row for row in prices_to_look_at(on) if row.pressing]
    below = sum(1 for row in pressing if row.below_cost)
    other, url = len(pressing) - below, reverse("pricing:warnings")
    if below:
        yield ngettext("%(n)d price lies below its cost", "%(n)d prices lie below their cost", below) % {"n": below}, url
    if other:
        says = ngettext(
            "%(n)d price leaves too little or is out of step", "%(n)d prices leave too little or are out of step", other
        )
        yield says % {"n": other}, url
