"""What the pages of losses are asked: a season, a variety, a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link
from ledger.facts.queries import today
from ledger.growing.models import Variety

from ..forms import SeasonAskedForm, VarietyAskedForm


@dataclass(frozen=True)
class Asked:
    """What a page was asked for, and the form to ask again."""

    form: VarietyAskedForm
    on: date
    variety: Variety | None
    season: int | None

    @property
    def number(self) -> int | None:
        """The variety's number."""
        return self.variety.pk if self.variety else None


def asked(request: HttpRequest, form_class: type[VarietyAskedForm] = SeasonAskedForm) -> Asked:
    """Read what is asked; what is not said is today and all varieties."""
    form = form_class(request.GET or None)
    given: dict[str, Any] = form.cleaned_data if form.is_valid() else {}
    return Asked(form, given.get("on") or today(), given.get("variety"), given.get("season"))


def filled(found: Asked, **initial: Any) -> VarietyAskedForm:
    """The form as it was answered; its errors where it could not be."""
    return found.form if found.form.errors else type(found.form)(initial={"on": found.on, "variety": found.number, **initial})


def as_paper(request: HttpRequest, name: str) -> Link:
    """The link to the same page as paper."""
    query = request.GET.urlencode()
    return Link(_("As paper"), f"{reverse(name)}?{query}" if query else reverse(name))
