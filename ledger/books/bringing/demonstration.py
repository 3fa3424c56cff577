"""The demonstration season, moved by whole years to the latest finished one."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.queries import today
from ledger.facts.writing import refusal

from .acting import Brought, Progress, bring_in, no_progress
from .files import Files
from .reading import last_day


def years_to_move(last: date, on: date) -> int:
    """Years between the season of the last day written and the latest calendar year finished by `on`.

    >>> years_to_move(date(2025, 12, 31), date(2026, 11, 25)), years_to_move(date(2025, 12, 31), date(2029, 1, 1))
    (0, 3)
    """
    return on.year - 1 - last.year


def load_demonstration(files: Files, progress: Progress = no_progress) -> Brought:
    """Bring the demonstration into an empty ledger."""
    if User.objects.exists():
        raise refusal(None, _("The demonstration is for an empty ledger; this one has people in it."), code="not_empty")
    last = last_day(files)
    assert last is not None, "the demonstration has no dated row"
    return bring_in(by=None, files=files, shift=years_to_move(last, today()), progress=progress)
