"""Fields that several forms of growing share."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ..models import MOST_STEMS


def area_field(**given: Any) -> forms.DecimalField:
    """An area in m2."""
    return forms.DecimalField(label=_("Area (m2)"), min_value=Decimal("0.01"), max_digits=9, decimal_places=2, **given)


def stems_field(**given: Any) -> forms.IntegerField:
    """So many stems."""
    return forms.IntegerField(min_value=1, max_value=MOST_STEMS, **given)
