"""Fields that several forms of growing share."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.queries import today

from ..models import MOST_STEMS, Bed


def area_field(**given: Any) -> forms.DecimalField:
    """An area in m2."""
    return forms.DecimalField(label=_("Area (m2)"), min_value=Decimal("0.01"), max_digits=9, decimal_places=2, **given)


def stems_field(**given: Any) -> forms.IntegerField:
    """So many stems, or plants."""
    return forms.IntegerField(min_value=1, max_value=MOST_STEMS, **given)


def why_field(**given: Any) -> forms.CharField:
    """Why it was so, in a few words."""
    return forms.CharField(**{"label": _("Why"), "max_length": 120, "required": False, **given})


def seasons_field(**given: Any) -> forms.IntegerField:
    """So many productive seasons of a perennial."""
    return forms.IntegerField(**{"label": _("Productive seasons of a perennial"), "min_value": 1, "max_value": 60, **given})


class BedChoice(forms.ModelChoiceField):
    """A bed with the area free in it today."""

    def label_from_instance(self, bed: Any) -> str:
        return str(_("%(bed)s (%(free)s of %(area)s m2 free)") % {"bed": bed, "free": bed.free_m2, "area": bed.area_m2})


def bed_field() -> BedChoice:
    """Any bed; the form fills it with `beds_with_free` when it opens."""
    return BedChoice(queryset=Bed.objects.none(), label=_("Bed"))


def beds_with_free() -> Any:
    """Every bed with what is free of it today."""
    return Bed.objects.of_plots().with_free(today())


def length_field(label: Any, *, least: Decimal = Decimal("0.01"), **given: Any) -> forms.DecimalField:
    """A length in metres, to a centimetre; may be empty."""
    return forms.DecimalField(label=label, required=False, min_value=least, max_digits=7, decimal_places=2, **given)
