"""The page of a sheet: many rows of one day sent at once."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.core.exceptions import ValidationError

from .forms import DayField
from .pages import Verb
from .queries import today


class Sheet(Verb):
    """A verb whose rows are what there was on the day in the address or in the form."""

    def day(self) -> date:
        """The day asked for, today where none can be read."""
        sent = self.request.POST or self.request.GET
        try:
            return DayField(required=False).clean(sent.get("on", "")) or today()
        except ValidationError:
            return today()

    def initial(self) -> dict[str, Any]:
        return {"on": self.day()}

    def context(self) -> dict[str, Any]:
        return {"day": self.day()}
