"""The form of a week's hours: lines of work, a cell for each day."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BoundField
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, VerbForm
from ledger.facts.queries import today

from ..actions import Hours
from ..models import WorkEntry, Worker
from ..queries import EQUALLY, monday_of, offered
from .spending import SpentOnField, asked_for, find_field, found_field, named, shared_field, shared_out, weights_field

MOST_LINES, DAYS = 20, range(7)


class MinutesField(forms.Field):
    """Whole minutes, or hours and minutes such as 1:30."""

    widget = forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off", "size": 4, "maxlength": 6})

    def to_python(self, value: Any) -> int | None:
        text = str(value or "").strip()
        if not text:
            return None
        hours, colon, minutes = text[:20].rpartition(":")
        if not minutes.isdecimal() or (colon and not (hours.isdecimal() and int(minutes) < 60)):
            raise ValidationError(_("Write minutes, or hours and minutes such as 1:30."), code="minutes")
        whole = int(hours or 0) * 60 + int(minutes)
        if whole > 24 * 60:
            raise ValidationError(_("A day has 1440 minutes."), code="too_long")
        return whole


class WeekForm(VerbForm):
    """A worker's week: each line a task on one or several things, with minutes on each day."""

    worker = forms.ModelChoiceField(queryset=Worker.objects.all(), label=_("Worker"))
    on = DayField(label=_("A day of the week"))
    find = find_field()
    found = found_field()

    def __init__(self, *args: Any, lines: int = 1, **given: Any) -> None:
        super().__init__(*args, **given)
        self.lines = min(lines, MOST_LINES)
        self.initial["found"] = asked_for(self)
        besides = [number for row in range(self.lines) for number in named(self, f"spent_on_{row}")]
        among = offered(asked_for(self), besides)
        for row in range(self.lines):
            self._add_line(row, among)

    def _add_line(self, row: int, among: Any) -> None:
        spent_on = SpentOnField(required=False)
        spent_on.offer(among)
        self.fields[f"task_{row}"] = forms.ChoiceField(label=_("Task"), choices=WorkEntry.Task.choices, required=False)
        self.fields[f"spent_on_{row}"] = spent_on
        self.fields[f"shared_{row}"] = shared_field()
        self.fields[f"weights_{row}"] = weights_field()
        for day in self.days():
            self.fields[f"minutes_{row}_{day.weekday()}"] = MinutesField(label=date_format(day, "D j"), required=False)

    def days(self) -> list[date]:
        """Monday to Sunday of the week asked for, this week where none can be read."""
        try:
            on = DayField(required=False).clean(self.data.get("on") or self.initial.get("on")) or today()
        except ValidationError:
            on = today()
        return [monday_of(on) + timedelta(days=day) for day in DAYS]

    def head(self) -> list[BoundField]:
        """Whose week, and which."""
        return [self["worker"], self["on"]]

    def rows(self) -> list[dict[str, Any]]:
        """The fields of each line, for the page."""
        return [self._row(row) for row in range(self.lines)]

    def _row(self, row: int) -> dict[str, Any]:
        sharing = [self[f"shared_{row}"], self[f"weights_{row}"]]
        return {
            "things": [self[f"task_{row}"], self[f"spent_on_{row}"]],
            "sharing": sharing,
            "open": any(field.errors or field.value() not in (None, "", EQUALLY) for field in sharing),
            "cells": [(self[f"minutes_{row}_{day}"].label, self[f"minutes_{row}_{day}"]) for day in DAYS],
        }

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        given["hours"] = [hours for row in range(self.lines) for hours in self._line(row)]
        return given

    def _line(self, row: int) -> list[Hours]:
        """The hours of one line; each day shares by what its own records say."""
        return [
            Hours(day, minutes, self.cleaned_data.get(f"task_{row}", ""), self._shares(row, day), str(row))
            for day in self.days() if (minutes := self.cleaned_data.get(f"minutes_{row}_{day.weekday()}"))
        ]

    def _shares(self, row: int, on: date) -> Any:
        given = self.cleaned_data
        things = given.get(f"spent_on_{row}") or []
        try:
            return shared_out(things, given.get(f"shared_{row}", ""), given.get(f"weights_{row}", ""), on)
        except ValidationError as error:
            for field, errors in error.error_dict.items():
                if not self.has_error(f"{field}_{row}"):
                    self.add_error(f"{field}_{row}", errors)
            return []
