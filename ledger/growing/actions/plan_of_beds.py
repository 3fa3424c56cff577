"""Where the beds of a plot lie on its plan."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, TypeVar

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import change_details
from ledger.facts.models import User
from ledger.facts.writing import action, refusal
from ledger.reckoning.plan import Patch, lies_within, outline, overlap

from ..models import Bed, Plot
from ..queries import place_of

M = TypeVar("M", bound=models.Model)
PLACE = ("left_m", "front_m", "long_m", "across")
MEASURES = PLACE[:3]


@dataclass(frozen=True)
class BedPlace:
    """Where a bed lies, in metres; all three None: nobody laid it out."""

    left_m: Decimal | None = None
    front_m: Decimal | None = None
    long_m: Decimal | None = None
    across: bool = False

    @property
    def changes(self) -> dict[str, Any]:
        """The fields of a bed it is kept in."""
        laid = [getattr(self, name) for name in MEASURES]
        return {**dict(zip(MEASURES, laid, strict=True)), "across": self.across and any(one is not None for one in laid)}


@action("field")
def lay_out_beds(
    *, by: User, plot: Plot, places: Mapping[int, BedPlace], wide_m: Decimal | None = None, seen: Mapping[str, str] | None = None
) -> Plot:
    """Say how wide a plot is and where its beds lie, keeping what was said before; beds not named stay where they are.

    Refuses what lies outside the plot or on another bed, on the fields of the bed (`left_m_12`).
    `seen`: what the form showed, by field (`wide_m`, `left_m_12`).
    """
    plot = Plot.objects.select_for_update(no_key=True).get(pk=plot.pk)
    beds = list(Bed.objects.select_for_update(no_key=True).filter(plot=plot).order_by("pk"))
    if set(places) - {bed.pk for bed in beds}:
        raise refusal(None, _("One of these beds lies on another plot. Open the sheet again."), code="other_plot")
    before = dict(seen or {})
    plot = change_details(plot, by=by, seen=_shown(before, "wide_m"), changes={"wide_m": wide_m})
    for bed in beds:
        if bed.pk in places:
            _place(bed, by, places[bed.pk], before)
    _check(plot, beds)
    return plot


def _shown(seen: Mapping[str, str], *names: str) -> dict[str, str]:
    return {name: seen[name] or "None" for name in names if name in seen}


def _place(bed: Bed, by: User, place: BedPlace, seen: Mapping[str, str]) -> None:
    """Keep where one bed lies; what is refused is refused on its own fields of the sheet."""
    given = [getattr(place, name) is not None for name in MEASURES]
    if any(given) and not all(given):
        lacking = MEASURES[given.index(False)]
        said = _("%(bed)s needs its length and how far it lies from the left and the front, or none of them.")
        raise refusal(f"{lacking}_{bed.pk}", said, code="not_whole", bed=bed.name)
    shown = {name: seen[f"{name}_{bed.pk}"] or "None" for name in PLACE if f"{name}_{bed.pk}" in seen}
    try:
        changed = change_details(bed, by=by, seen=shown, changes=place.changes)
    except ValidationError as error:
        raise _on_the_sheet(error, bed) from error
    for name in PLACE:
        setattr(bed, name, getattr(changed, name))


def _on_the_sheet(error: ValidationError, bed: Bed) -> ValidationError:
    if not hasattr(error, "error_dict"):
        return error
    return ValidationError({f"{name}_{bed.pk}" if name in PLACE else "__all__": said for name, said in error.error_dict.items()})


def _check(plot: Plot, beds: Sequence[Bed]) -> None:
    """Refuse beds that stick out of their plot or lie on one another, each on its own row."""
    around = outline(plot.area_m2, plot.wide_m)
    laid = [(bed, patch) for bed in beds if (patch := place_of(bed)) is not None]
    found: dict[str, list[ValidationError]] = defaultdict(list)
    for place, (bed, patch) in enumerate(laid):
        if not lies_within(patch, around):
            found[f"left_m_{bed.pk}"].append(_outside(bed, patch, around))
        for other, ground in laid[:place]:
            if overlap(patch, ground):
                found[f"left_m_{bed.pk}"].append(_on_another(bed, other))
    if found:
        raise ValidationError(dict(found))


def _on_another(bed: Bed, other: Bed) -> ValidationError:
    said, names = _("%(bed)s would lie on %(other)s. Move one of them."), {"bed": bed.name, "other": other.name}
    return ValidationError(said, code="on_another", params=names)


def _outside(bed: Bed, patch: Patch, around: Patch) -> ValidationError:
    numbers = {"right": patch.right, "back": patch.back, "wide": around.wide, "deep": around.deep}
    said = _(
        "%(bed)s would end %(right)s m from the left and %(back)s m from the front; "
        "the plot is %(wide)s m wide and %(deep)s m deep."
    )
    return ValidationError(said, code="outside", params={"bed": bed.name, **{name: metres(one) for name, one in numbers.items()}})


def metres(length: Any) -> str:
    """A length in metres as people write it, to a centimetre.

    >>> metres(Decimal("2.5"))
    '2.50'
    """
    return f"{float(length):.2f}"
