"""Pages of readings and of the limit of damp."""

from __future__ import annotations

from typing import Any

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.drying import actions
from ledger.drying.filters import DampLimitFilter, ReadingFilter
from ledger.drying.forms import DampLimitForm, ReadingForm
from ledger.drying.models import DampLimit, Place, Reading
from ledger.drying.tables import DampLimitTable, ReadingTable
from ledger.facts.pages import Link, ListPage, Undo, Verb


class Readings(ListPage):
    """What the instruments said."""

    model, table_class, filterset_class, title = Reading, ReadingTable, ReadingFilter, _("Readings")

    def get_queryset(self) -> Any:
        return Reading.objects.standing().with_damp().latest_first().select_related("place")

    def links(self) -> list[Link]:
        return [Link(_("Drying places"), reverse("drying:places")), Link(_("Limit of damp"), reverse("drying:damp_limits"))]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="drying/readings.html#row", **given)


class NoteReading(Verb):
    """Note what the instruments of a place say."""

    form_class, title, may, button = ReadingForm, _("Note a reading"), "loft", _("Note it")
    subject_model = Place

    def act(self, form: ReadingForm, **common: Any) -> Reading:
        return actions.note_reading(place=self.subject, **form.given(), **common)


class UndoReading(Undo):
    """Undo a reading."""

    subject_model, may, fact_name = Reading, "loft", "reading"
    undoing = actions.undo_reading


class DampLimits(ListPage):
    """The humidity above which a place is damp again, from which day on."""

    model, table_class, filterset_class, title = DampLimit, DampLimitTable, DampLimitFilter, _("Limit of damp")
    queryset = DampLimit.objects.standing().order_by("-on", "-pk")
    intro = _("A place whose humidity was read above the limit of that day is called damp again.")

    def links(self) -> list[Link]:
        return [Link(_("Set the limit"), reverse("drying:set_damp_limit"), "loft")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="drying/damp_limits.html#row", **given)


class SetDampLimit(Verb):
    """Set the humidity above which a place is damp again."""

    form_class, title, may = DampLimitForm, _("Set the limit of damp"), "loft"

    def act(self, form: DampLimitForm, **common: Any) -> DampLimit:
        return actions.set_damp_limit(**form.given(), **common)


class UndoDampLimit(Undo):
    """Undo a limit of damp."""

    subject_model, may, fact_name = DampLimit, "loft", "limit"
    undoing = actions.undo_damp_limit
