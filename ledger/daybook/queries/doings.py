"""What was done on a day: the things whose work is still to be noted."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject

Doings = list[tuple[str, Any, list[CostObject]]]

# A record further along the path is known here by the names its cost object has for it.
DONE: tuple[tuple[str, Any, Any], ...] = (
    ("planted", _("Planted that day"), lambda on: Q(planting__on=on, planting__undone_at=None)),
    ("cut", _("Cut that day"), lambda on: Q(lot__on=on, lot__undone_at=None)),
    ("hung", _("Hung that day"), lambda on: Q(hanging__on=on, hanging__undone_at=None)),
    ("taken_down", _("Taken down that day"), lambda on: Q(
        hanging__undone_at=None, hanging__takings__on=on, hanging__takings__undone_at=None
    )),
    ("bunched", _("Bunched that day"), lambda on: Q(run__on=on, run__undone_at=None)),
)


def done_on(on: date) -> Doings:
    """What was planted, cut, hung, taken down and bunched that day: a code, words, the things; none left out."""
    found = ((code, words, _things(asked(on))) for code, words, asked in DONE)
    return [(code, words, things) for code, words, things in found if things]


def _things(asked: Q) -> list[CostObject]:
    return list(CostObject.objects.filter(pk__in=CostObject.objects.filter(asked).values("pk")).order_by("pk"))
