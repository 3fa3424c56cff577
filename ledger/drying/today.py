"""What drying has to say today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils.translation import ngettext

from ledger.facts.models import User

from .queries import due_down


def notes(user: User, on: date) -> Iterator[tuple[Any, str]]:
    """Hangings up as long as such stems usually take here to dry."""
    if not user.may("loft"):
        return
    due = len(due_down(on))
    if due:
        says = ngettext("%(n)d hanging should be dry by now", "%(n)d hangings should be dry by now", due) % {"n": due}
        yield says, reverse("drying:due_down")
