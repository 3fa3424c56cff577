"""Oddments kept of what a hanging lost, and hangings that are trials."""

from __future__ import annotations

from datetime import date

from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import Amendment, User
from ledger.facts.writing import action, keep, record, refusal, require_standing, touch

from ..models import Hanging, Oddments
from ..queries import first_day_over, least_lost_unkept


@action("loft")
def keep_oddments(*, by: User, hanging: Hanging, on: date, stems: int, value: int) -> Oddments:
    """Keep stems of those a hanging lost, worth `value` minor units as scrap in all."""
    hanging = Hanging.objects.lock(hanging)
    require_standing(hanging)
    if stems < 1:
        raise refusal("stems", _("At least one stem is kept."), code="too_few")
    left = least_lost_unkept(hanging, on)
    if stems > left:
        raise refusal(
            "stems", _("Only %(left)d stems lost by that day are not kept yet."), code="too_many", left=max(left, 0)
        )
    return record(Oddments(hanging=hanging, on=on, stems=stems, value=value), by=by)


@action("loft")
def undo_oddments(*, by: User, oddments: Oddments) -> Oddments:
    """Undo oddments nothing was made of."""
    return undo_within(oddments, by=by)


def require_within_lost(hanging: Hanging) -> None:
    """Refuse when more oddments are kept by any day than are lost by it."""
    kept = hanging.oddments.standing().values_list("on", "stems")
    lost = hanging.takings.standing().with_lost().values_list("on", "lost")
    if first_day_over(kept, lost) is not None:
        raise refusal(None, _("Oddments were kept of what it lost. Undo these first."), code="rested_on")


@action("loft")
def mark_trial(*, by: User, hanging: Hanging, trial: bool) -> Hanging:
    """Say whether stems are unusual material, wherever they were moved; what was said before is kept.

    What is learnt from hangings asks for it, and so what stems still up are reckoned to lose: hangings of
    closed days stay as they were marked.
    """
    require_standing(hanging)
    rows = Hanging.objects.select_for_update(no_key=True).standing().filter(parting=hanging.parting_id)
    for one in rows.exclude(trial=trial).order_by("pk"):
        touch(one.on)
        keep(Amendment(model=Hanging._meta.label, record_pk=str(one.pk), field="trial",
                       before=str(one.trial), after=str(trial), by=by, at=timezone.now()))
        one.trial = trial
        keep(one)
    hanging.refresh_from_db()
    return hanging
