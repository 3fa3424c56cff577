"""What growing has to say today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from ledger.facts.models import User
from ledger.facts.queries import ledger_state

from .models import Bed, Lot, Planting, Plot, Species, Variety
from .queries import overfull_beds

FIRST_STEPS: list[tuple[Any, Any, str]] = [
    (Plot, _("Begin with the ground: add a plot"), "growing:add_plot"),
    (Bed, _("Lay out the first bed on the plot"), "growing:add_bed"),
    (Species, _("Name the first species you grow"), "growing:add_species"),
    (Variety, _("Name the first variety of it"), "growing:add_variety"),
    (Planting, _("Enter the first planting"), "growing:plant"),
]


def notes(user: User, on: date) -> Iterator[tuple[Any, str]]:
    """The next first step; lots with stems in water for too long; beds that hold more than their area."""
    if not user.may("field"):
        return
    yield from _next_first_step()
    waiting = Lot.objects.too_long_in_water(on).count()
    if waiting:
        says = ngettext("%(n)d lot has stood in water too long", "%(n)d lots have stood in water too long", waiting)
        yield says % {"n": waiting}, f"{reverse('growing:lots')}?state=too_long"
    yield from _overfull()


def _overfull() -> Iterator[tuple[Any, str]]:
    """Beds overfull on a day that is still open."""
    for bed, one in overfull_beds(after=ledger_state().closed_until):
        told = {"bed": bed, "held": one.most, "area": bed.area_m2, "on": date_format(one.day)}
        says = _("%(bed)s holds %(held)s m2 of %(area)s m2 on %(on)s: a clearing may not be entered yet") % told
        yield says, bed.get_absolute_url()


def _next_first_step() -> Iterator[tuple[Any, str]]:
    """What a newcomer does next, until something is planted."""
    if Planting.objects.exists():
        return
    for model, says, page in FIRST_STEPS:
        if not model.objects.exists():
            yield says, reverse(page)
            return
