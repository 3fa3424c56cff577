"""Pages that show what a price does before it is set: plain HTML, two presses."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Sequence
from datetime import date
from typing import Any

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Verb

from ..models import Way
from ..queries.sheet import Effect

CHANGED = _("What it does has changed meanwhile, or what is written here: look again, then set it.")
NOT_SEEN = _("What it does was not shown yet: look, then set it.")


class LooksFirst(Verb):
    """A verb whose first press (`look`) only shows what the second would do.

    The look leaves its mark in the form (`seen`); without it, or when it no
    longer fits, the second press shows the effects again and sets nothing.
    """

    effects: Sequence[Effect] | None = None
    mark: str = ""

    def sees_costs(self) -> bool:
        """Whether margins may be shown to this person."""
        return bool(self.request.user.may("see_costs"))  # type: ignore[union-attr]

    def way(self, form: Any) -> Way:
        """The way of selling whose prices are set."""
        return form.cleaned_data["way"]  # type: ignore[no-any-return]

    def seen(self, form: Any) -> list[Effect]:
        """What the form as filled in would do."""
        raise NotImplementedError

    def look(self, form: Any) -> None:
        """See what the form would do, and how that is marked."""
        self.effects = self.seen(form)
        self.mark = mark_of(self.way(form), form.cleaned_data["on"], self.effects)

    def post(self, request: HttpRequest, *args: Any, **given: Any) -> HttpResponse:
        self.find_subject()
        form = self.form(request.POST)
        if not form.is_valid():
            return self.show(form, status=422) if "look" in request.POST else super().post(request, *args, **given)
        if "look" in request.POST:
            self.look(form)
            return self.show(form)
        return self.look_again(form) or super().post(request, *args, **given)

    def look_again(self, form: Any) -> HttpResponse | None:
        """The effects once more where they were not seen as they are now; None where they were, or it is done already."""
        if self.done_before(form) is not None:
            return None
        self.look(form)
        sent = self.request.POST.get("seen", "")
        if not self.effects or hmac.compare_digest(sent.encode(), self.mark.encode()):
            self.effects = None
            return None
        form.refuse(ValidationError(CHANGED if sent else NOT_SEEN, code="look_again"))
        return self.show(form, status=422)

    def context(self) -> dict[str, Any]:
        return {**super().context(), "effects": self.effects, "seen": self.mark, "sees_costs": self.sees_costs()}


def mark_of(way: Way, on: date, effects: Sequence[Effect]) -> str:
    """The same for the same way, day, lines, steps, new and old prices and steps beside them; another for any other."""
    told = [(one.line.pk, one.at_least, one.new, one.old, tuple(one.steps)) for one in effects]
    return hashlib.sha256(repr((way.pk, on.isoformat(), told)).encode()).hexdigest()
