"""How few stems are too few to judge by: the dated list, setting it and taking it back."""

from __future__ import annotations

from typing import Any

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb

from .. import actions
from ..filters import LeastStemsFilter
from ..forms import LeastStemsForm
from ..models import LeastStems
from ..tables import LeastStemsTable


class AllLeastStems(ListPage):
    """From when how many stems were the fewest to judge by."""

    model, table_class, filterset_class = LeastStems, LeastStemsTable, LeastStemsFilter
    queryset = LeastStems.objects.standing().order_by("-on", "-pk")
    title, may = _("Fewest stems to judge by"), ("see_costs", "books")
    intro = _(
        "What gave fewer stems in every season asked about is neither ranked nor judged by the bed earnings: they say too few "
        "stems to judge. Where none is set, even a handful is."
    )

    def links(self) -> list[Link]:
        return [
            Link(_("Set the fewest stems"), reverse("books:set_least_stems"), "books"),
            Link(_("Bed earnings"), reverse("books:earnings"), "see_costs"),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="books/least_stems.html#row", **given)


class SetLeastStems(Verb):
    """Set the fewest stems to judge by."""

    form_class, title, may = LeastStemsForm, _("Set the fewest stems to judge by"), "books"

    def act(self, form: LeastStemsForm, **common: Any) -> LeastStems:
        return actions.set_least_stems(**form.given(), **common)

    def then(self, result: LeastStems) -> str:
        return reverse("books:least_stems")


class UndoLeastStems(Undo):
    """Undo such a number."""

    subject_model, may, fact_name = LeastStems, "books", "least_stems"
    undoing = actions.undo_least_stems

    def then(self, result: LeastStems) -> str:
        return reverse("books:least_stems")
