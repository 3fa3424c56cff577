"""What every entry of time and every line of a bill was spent on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject
from ledger.facts.writing import refusal

SpentOn = Sequence[tuple[CostObject, int]]


def check_spent_on(spent_on: SpentOn) -> None:
    """Refuse nothing at all, and the same thing twice."""
    if not spent_on:
        raise refusal("spent_on", _("Say what it was spent on."), code="spent_on_nothing")
    if len({one.pk for one, _weight in spent_on}) < len(spent_on):
        raise refusal("spent_on", _("Name each thing once."), code="named_twice")


def refuse_material(spent_on: SpentOn, message: Any) -> None:
    """Refuse what cannot be spent on a material."""
    if any(one.kind == CostObject.Kind.MATERIAL for one, _weight in spent_on):
        raise refusal("spent_on", message, code="on_material")
