"""Pages of lines that lack something: filled, to come later, stood in for."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import VerbForm
from ledger.facts.pages import Undo
from ledger.facts.queries import today
from ledger.sales import actions
from ledger.sales.forms.lines import LaterForm, StandInForm
from ledger.sales.models import Later, OrderLine
from ledger.sales.queries.lacking import could_be_filled

from .orders import OnOrderLine, new_key
from .seeing import require


def lacking(request: HttpRequest) -> HttpResponse:
    """Lines of orders that lack something of which some is free now, each filled with one press."""
    require(request, ("selling",))
    return render(request, "sales/lacking.html", {"rows": could_be_filled(), "new_key": new_key, "on": today()})


class Fill(OnOrderLine):
    """Promise what is free now of what lacks."""

    form_class, title, button, done = VerbForm, _("Promise what is free"), _("Promise it"), _("Promised.")

    def act(self, form: VerbForm, **common: Any) -> OrderLine:
        return actions.fill(order_line=self.subject, on=form.cleaned_data["on"], **common)


class ComeLater(OnOrderLine):
    """Note what is to come later."""

    form_class, title, button, done = LaterForm, _("To come later"), _("Note it"), _("Noted.")
    intro = _("It is told to the customer on the dispatch note, and promised only when it is there.")

    def initial(self) -> dict[str, Any]:
        return {"bunches": max(self.subject.lacking, 0) or None, **super().initial()}

    def act(self, form: LaterForm, **common: Any) -> Later:
        return actions.come_later(order_line=self.subject, **form.given(), **common)


class StandIn(OnOrderLine):
    """Put another line in instead."""

    form_class, title, button = StandInForm, _("Put another line in instead"), _("Promise it instead")
    intro = _("What was asked for stays as it is and says what stands in for it.")

    def initial(self) -> dict[str, Any]:
        return {"bunches": self.subject.otherwise or None, **super().initial()}

    def act(self, form: StandInForm, **common: Any) -> OrderLine:
        return actions.stand_in(order_line=self.subject, **form.given(), **common)


class UndoLater(Undo):
    """Undo what was said to come later."""

    subject_model, may, fact_name = Later, "selling", "later"
    undoing = staticmethod(actions.undo_later)
