"""By what several things share one amount: stems or area, as the records of each say."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

from django.db.models import Sum
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject
from ledger.facts.writing import refusal

EQUALLY, BY_STEMS, BY_AREA = "equally", "stems", "area"


def shared_by(things: Sequence[CostObject], how: str, on: date) -> list[tuple[CostObject, int]]:
    """Return things with their weights: stems of that day, hundredths of m2, or one each.

    Refused on `spent_on` where one of several has neither.
    """
    if how == EQUALLY or len(things) < 2:
        return [(one, 1) for one in things]
    weigh, message, code = {
        BY_STEMS: (stems_of, _("%(what)s has no stems on %(on)s. Share equally, by area or as typed."), "no_stems"),
        BY_AREA: (area_of, _("%(what)s has no area on %(on)s. Share equally, by stems or as typed."), "no_area"),
    }[how]
    weights = [(one, weigh(one, on)) for one in things]
    for one, weight in weights:
        if weight < 1:
            raise refusal("spent_on", message, code=code, what=one.label, on=on)
    return weights


def stems_of(thing: CostObject, on: date) -> int:
    """Stems of a lot, hanging or run; of a planting those cut that day; nil where it has none."""
    found = _STEMS.get(thing.kind)
    return found(thing, on) if found else 0


def area_of(thing: CostObject, on: date) -> int:
    """Hundredths of m2 of a plot, of what a planting holds that day, or its lot's planting; nil where it has none."""
    found = _AREA.get(thing.kind)
    return found(thing, on) if found else 0


def _cut_from(planting: Any, on: date) -> int:
    return planting.lots.standing().filter(on=on).aggregate(n=Sum("stems"))["n"] or 0


def _ground_of(planting: Any, on: date) -> int:
    """The area it was planted on and out on by that day, less the parts cleared."""
    out = planting.planted_out.standing_on(on).aggregate(n=Sum("area_m2"))["n"] or 0
    gone = planting.part_clearings.standing_on(on).aggregate(n=Sum("area_m2"))["n"] or 0
    return int(((planting.area_m2 or 0) + out - gone) * 100)


def _hung_there(hanging: Any, on: date) -> int:
    """The stems of a hanging less those moved on by that day."""
    return int(hanging.stems - (hanging.moved_to.standing_on(on).aggregate(n=Sum("stems"))["n"] or 0))


_Weigh = Callable[[Any, date], int]
_STEMS: dict[str, _Weigh] = {
    "lot": lambda thing, on: thing.lot.stems,
    "hanging": lambda thing, on: _hung_there(thing.hanging, on),
    "run": lambda thing, on: thing.run.inputs.aggregate(n=Sum("stems"))["n"] or 0,
    "planting": lambda thing, on: _cut_from(thing.planting, on),
}
_AREA: dict[str, _Weigh] = {
    "plot": lambda thing, on: int(thing.plot.area_m2 * 100),
    "planting": lambda thing, on: _ground_of(thing.planting, on),
    "lot": lambda thing, on: _ground_of(thing.lot.planting, on),
}
