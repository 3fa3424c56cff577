"""What pricing has to say today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from ledger.facts.models import User

from .models import Price
from .queries.warnings import prices_to_look_at


def later(user: User, on: date) -> Iterator[tuple[Any, str]]:
    """Where prices below cost are told, which takes a while to find; for those who see costs and set prices."""
    if user.may("see_costs") and user.may("prices") and Price.objects.exists():
        yield _("See whether the prices cover their cost"), reverse("pricing:warnings")


def price_notes(on: date) -> Iterator[str]:
    """Prices below cost, and others that matter, each kind in a sentence."""
    pressing = [row for row in prices_to_look_at(on) if row.pressing]
    below = sum(1 for row in pressing if row.below_cost)
    other = len(pressing) - below
    if below:
        yield ngettext("%(n)d price lies below its cost", "%(n)d prices lie below their cost", below) % {"n": below}
    if other:
        yield ngettext(
            "%(n)d price leaves too little or is out of step", "%(n)d prices leave too little or are out of step", other
        ) % {"n": other}
