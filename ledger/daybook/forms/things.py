"""The form of time spent on things: what was done that day to tick, anything else to find."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from ledger.facts.forms import DayField, VerbForm
from ledger.facts.models import CostObject
from ledger.facts.queries import today

from ..queries import done_on, in_path_order, offered
from .spending import SpentOnField, asked_for, find_field, found_field, named, shared_field, shared_out, weights_field

OTHER_DAY = _("The day was changed since: tick what was done on it.")


class ThingsForm(VerbForm):
    """One or several things that time went to, and how they share it.

    What was done that day can be ticked, each or all of a kind; its code for
    all carries the day, so that a changed day is never taken for another.
    """

    done = forms.MultipleChoiceField(
        label=_("Done that day"), required=False, widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": OTHER_DAY},
    )
    spent_on = SpentOnField(required=False, help_text=_("Choose several to share the minutes among them."))
    find = find_field()
    found = found_field()
    shared = shared_field()
    weights = weights_field()

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.initial["found"] = asked_for(self)
        self.done_on = self.day()
        self.doings = done_on(self.done_on)
        shown = {one.pk for _code, _words, things in self.doings for one in things}
        ticked = [one for one in named(self, "done") if one not in shown]
        self.fields["done"].choices = [*map(self._group, self.doings), *_of_another_day(ticked)]  # type: ignore[attr-defined]
        self.fields["spent_on"].offer(offered(asked_for(self), named(self, "spent_on")))  # type: ignore[attr-defined]

    def day(self) -> date:
        """The day whose doings are offered, today where none can be read."""
        try:
            return DayField(required=False).clean(self.data.get("on") or self.initial.get("on")) or today()
        except ValidationError:
            return today()

    def _group(self, doing: tuple[str, Any, Sequence[CostObject]]) -> tuple[Any, list[tuple[str, Any]]]:
        """The ticks of one kind of doing, all of them first where there are several."""
        code, words, things = doing
        ticks = [(str(one.pk), one.label) for one in things]
        everything = ngettext("all %(n)d of them", "all %(n)d of them", len(things)) % {"n": len(things)}
        return words, [(f"{code}:{self.done_on}", everything), *ticks] if len(things) > 1 else ticks

    @property
    def elsewhere(self) -> bool:
        """Whether the list of all things is to be open: nothing was done that day, or something is chosen or amiss in it."""
        told = [name for name in ("spent_on", "find", "weights") if name in self.fields]
        return not self.fields["done"].choices or any(self[name].value() or self[name].errors for name in told)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        typed = {name: given.pop(name, "") for name in ("done", "find", "found", "shared", "weights")}
        things = self._chosen(typed["done"] or [], given.get("spent_on") or [])
        if not things and not {"done", "spent_on"} & set(self.errors):
            self.add_error("spent_on", ValidationError(_("Say what it was spent on."), code="required"))
        try:
            given["spent_on"] = shared_out(things, typed["shared"], typed["weights"], self.done_on)
        except ValidationError as error:
            self.refuse(error)
        return given

    def _chosen(self, ticked: Sequence[str], chosen: Sequence[CostObject]) -> list[CostObject]:
        """All that was ticked or chosen, each once, along the path."""
        keys = {one.pk for one in chosen} | {int(tick) for tick in ticked if tick.isdecimal()}
        for code, _words, things in self.doings:
            keys.update(one.pk for one in things if f"{code}:{self.done_on}" in ticked)
        return list(in_path_order(CostObject.objects.filter(pk__in=keys)))


def _of_another_day(keys: Sequence[int]) -> list[tuple[Any, list[tuple[str, Any]]]]:
    """What was ticked while another day was shown."""
    things = offered(besides=keys).filter(pk__in=keys) if keys else []
    ticks = [(str(one.pk), one.label) for one in things]
    return [(_("Ticked before"), ticks)] if ticks else []
