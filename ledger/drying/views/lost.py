"""Pages of what a hanging lost: disasters, trials, oddments kept."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.drying import actions
from ledger.drying.filters import OddmentsFilter
from ledger.drying.forms import DisasterForm, OddmentsForm, TrialForm
from ledger.drying.models import Disaster, Hanging, Oddments
from ledger.drying.queries import least_lost_unkept
from ledger.drying.tables import OddmentsTable
from ledger.facts.pages import ListPage, Undo, Verb
from ledger.facts.queries import today


class MarkDisaster(Verb):
    """Mark a hanging whose loss was no usual one."""

    form_class, title, may, button = DisasterForm, _("Mark as a disaster"), "loft", _("Mark it")
    intro = _("What it lost beyond the usual is written off as a cost of the year and never enters stock.")
    subject_model = Hanging

    def act(self, form: DisasterForm, **common: Any) -> Disaster:
        return actions.mark_disaster(hanging=self.subject, **form.given(), **common)


class UndoDisaster(Undo):
    """Take a disaster's mark away."""

    subject_model, may, fact_name = Disaster, "loft", "disaster"
    undoing = actions.undo_disaster


class MarkTrial(Verb):
    """Say that a hanging is a trial, or none after all."""

    form_class, title, may, button = TrialForm, _("Trial or not"), "loft", _("Say so")
    intro = _("What is learnt of usual losses and days to dry leaves trials out, wherever their stems were moved.")
    subject_model = Hanging

    def initial(self) -> dict[str, Any]:
        return {"trial": not self.subject.trial}

    def act(self, form: TrialForm, **common: Any) -> Hanging:
        return actions.mark_trial(hanging=self.subject, **form.given(), **common)


class OddmentsKept(ListPage):
    """What was kept of the lost."""

    model, table_class, filterset_class, title = Oddments, OddmentsTable, OddmentsFilter, _("Oddments")
    intro = _("Stems kept of those that hangings lost: petals, heads, short pieces. A run can use them.")

    def get_queryset(self) -> Any:
        return Oddments.objects.standing().whole().order_by("-on", "-pk")

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="drying/oddments.html#row", **given)


class KeepOddments(Verb):
    """Keep part of what a hanging lost."""

    form_class, title, may, button = OddmentsForm, _("Keep oddments of the lost"), "loft", _("Keep them")
    subject_model = Hanging

    def initial(self) -> dict[str, Any]:
        return {"stems": max(least_lost_unkept(self.subject, today()), 0) or None, **super().initial()}

    def act(self, form: OddmentsForm, **common: Any) -> Oddments:
        return actions.keep_oddments(hanging=self.subject, **form.given(), **common)


class UndoOddments(Undo):
    """Undo oddments kept."""

    subject_model, may, fact_name = Oddments, "loft", "oddments"
    undoing = actions.undo_oddments
