"""What time or money went on: fields to choose it and to share among several."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject

from ..queries import BY_AREA, BY_STEMS, EQUALLY, in_path_order, shared_by

MOST_WEIGHT = 10**9
AS_TYPED = "typed"


HOW = [
    (EQUALLY, _("equally")), (BY_STEMS, _("by stems")), (BY_AREA, _("by area")), (AS_TYPED, _("as typed")),
]


def grouped(among: Iterable[CostObject]) -> list[tuple[str, list[tuple[int, str]]]]:
    """Things by what they are, as the choices of a field."""
    groups: dict[str, list[tuple[int, str]]] = {}
    for one in among:
        groups.setdefault(str(one.get_kind_display()), []).append((one.pk, one.label))
    return list(groups.items())


class OneThingField(forms.ModelChoiceField):
    """One thing that something went into, grouped by what things are, along the path."""

    def __init__(self, **given: Any) -> None:
        super().__init__(queryset=CostObject.objects.none(), **given)

    def offer(self, among: QuerySet[CostObject]) -> None:
        """Offer these, by kind."""
        self.queryset = among
        self.choices = [("", "---------"), *grouped(among)]


class SpentOnField(forms.ModelMultipleChoiceField):
    """One or several things that time or money went on, grouped by what they are, along the path."""

    widget = forms.SelectMultiple(attrs={"size": 8})

    def __init__(self, **given: Any) -> None:
        given.setdefault("label", _("Spent on"))
        super().__init__(queryset=CostObject.objects.none(), **given)

    def offer(self, among: QuerySet[CostObject]) -> None:
        """Offer these, by kind."""
        self.queryset = among
        self.choices = grouped(among)

    def clean(self, value: Any) -> list[CostObject]:  # type: ignore[override]
        return list(in_path_order(super().clean(value)))


def shared_field() -> forms.ChoiceField:
    """How several things share one amount."""
    return forms.ChoiceField(label=_("Several share it"), choices=HOW, initial=EQUALLY, required=False)


def weights_field() -> forms.CharField:
    """The parts of several things, typed."""
    return forms.CharField(
        label=_("Parts, as typed"), required=False, max_length=200,
        help_text=_("One whole number for each, in the order of the list, such as 3, 1."),
    )


def find_field() -> forms.CharField:
    """Words to find what is not among the latest."""
    return forms.CharField(
        label=_("Not in the list? Words of its name"), required=False, max_length=80,
        help_text=_("Such as a variety or a year, then press “Find”."),
    )


def found_field() -> forms.CharField:
    """The words that the list shown was found by."""
    return forms.CharField(widget=forms.HiddenInput, required=False)


def weighted(things: Sequence[CostObject], weights: str) -> list[tuple[CostObject, int]]:
    """Things with their weights, equal where none are typed; raises a refusal where numbers do not fit."""
    typed = weights.replace(";", " ").replace(",", " ").split()
    if not typed:
        return [(one, 1) for one in things]
    if len(typed) != len(things) or not all(part.isdecimal() and 0 < int(part) < MOST_WEIGHT for part in typed):
        raise forms.ValidationError(
            _("Type one whole number for each thing, in the order of the list: %(n)d are chosen."), code="weights",
            params={"n": len(things)},
        )
    return [(one, int(part)) for one, part in zip(things, typed, strict=True)]


def shared_out(things: Sequence[CostObject], how: str, weights: str, on: date) -> list[tuple[CostObject, int]]:
    """Things with their weights as asked; numbers typed count, unless stems or area are asked for."""
    if how in (BY_STEMS, BY_AREA):
        return shared_by(things, how, on)
    if how == AS_TYPED and not weights.strip() and len(things) > 1:
        raise forms.ValidationError({"weights": forms.ValidationError(_("Type the parts."), code="required")})
    try:
        return weighted(things, weights)
    except forms.ValidationError as error:
        raise forms.ValidationError({"weights": error}) from error


def named(form: forms.Form, field: str) -> list[int]:
    """The things a form already names, whatever is offered besides."""
    sent = form.data.getlist(field) if hasattr(form.data, "getlist") else []
    told = form.initial.get(field)
    return [int(str(one)) for one in [*sent, *(told if isinstance(told, list) else [told])] if str(one).isdecimal()]


def asked_for(form: forms.Form) -> str:
    """The words typed to find something."""
    return str(form.data.get("find") or form.initial.get("find") or "")
