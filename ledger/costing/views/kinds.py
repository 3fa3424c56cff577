"""Which kinds of cost count as what, and moving one."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostKind
from ledger.facts.pages import Undo, Verb, require_may
from ledger.facts.queries import today

from .. import actions
from ..forms import AsOfForm, MoveKindForm
from ..models import KindBasis
from ..queries import kinds_on


def kinds(request: HttpRequest) -> HttpResponse:
    """Every kind of cost with the bases it belongs to on a day."""
    require_may(request.user, "see_costs")
    asked = AsOfForm(request.GET or None)
    on = (asked.is_valid() and asked.cleaned_data["on"]) or today()
    form = asked if asked.errors else AsOfForm(initial={"on": on})
    return render(request, "costing/kinds.html", {"kinds": kinds_on(on), "on": on, "form": form})


class MoveKind(Verb):
    """Move a kind of cost into or out of a basis from a day on."""

    form_class, subject_model, may = MoveKindForm, CostKind, "books"
    intro = _("What is closed stays as it was closed. How a cost counts is for your accountant to decide.")

    @property
    def title(self) -> str:  # type: ignore[override]
        return str(_("How %(kind)s counts")) % {"kind": self.subject}

    def initial(self) -> dict[str, Any]:
        now = next(one for one in kinds_on(today()) if one.kind == self.subject)
        return {"in_stock": now.in_stock, "in_shelf": now.in_shelf, **super().initial()}

    def act(self, form: MoveKindForm, **common: Any) -> KindBasis:
        return actions.move_kind(kind=self.subject, **form.given(), **common)

    def then(self, result: KindBasis) -> str:
        return reverse("costing:kinds")


class UndoMoveOfKind(Undo):
    """Undo a move of a kind of cost."""

    subject_model, may, fact_name = KindBasis, "books", "basis"
    undoing = staticmethod(actions.undo_move_of_kind)

    def then(self, result: KindBasis) -> str:
        return reverse("costing:kinds")
