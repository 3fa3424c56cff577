"""What workshops and things for hire have to say today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from ledger.facts.models import User
from ledger.sales.models import Workshop

from .hire import items_short
from .workshop_sets import TO_COME


def workshop_notes(user: User, on: date) -> Iterator[tuple[Any, str]]:
    """Workshops past their day, neither held nor called off; things for hire of which more is promised than there is."""
    if not user.may("selling"):
        return
    n = Workshop.objects.standing().with_state().filter(stands_as=TO_COME, held_on__lt=on).count()
    if n:
        says = ngettext(
            "%(n)d workshop is past its day, not said to be held", "%(n)d workshops are past their day, not said to be held", n
        )
        yield says % {"n": n}, f"{reverse('sales:workshops')}?state=past"
    for item, first, number in items_short(on):
        says = _("%(item)s: %(n)d too few from %(on)s on for the jobs they are promised to")
        yield says % {"item": item, "n": number, "on": date_format(first)}, item.get_absolute_url()
