"""Pages of changes of an order: what is said anew of it, more asked for, and undoing either."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import VerbForm
from ledger.facts.pages import Undo, Verb
from ledger.sales import actions
from ledger.sales.forms import BunchesForm
from ledger.sales.forms.lines import OrderChangeForm
from ledger.sales.models import AskedChange, Order, OrderChange

from .orders import OnOrderLine


class ChangeOrder(Verb):
    """Say anew when an order is wanted, its reference and its carriage; begins with what holds."""

    form_class, title, may, button = OrderChangeForm, _("Change this order"), "selling", _("Change it")
    subject_model, done = Order, _("Changed.")

    def initial(self) -> dict[str, Any]:
        said = self.subject.said
        return {"wanted_on": said.wanted_on, "reference": said.reference, "carriage": said.carriage, **super().initial()}

    def act(self, form: OrderChangeForm, **common: Any) -> OrderChange:
        return actions.change_order(order=self.subject, **form.given(), **common)


class CancelOrder(Verb):
    """Cancel all that is left of an order."""

    form_class, title, may, button = VerbForm, _("Cancel all that is left of it"), "selling", _("Cancel it all")
    subject_model, done = Order, _("Cancelled.")
    intro = _("Of every line all that is neither packed nor sent is wanted no more; what was promised of it is free again.")

    def act(self, form: VerbForm, **common: Any) -> Order:
        return actions.cancel_order(order=self.subject, on=form.cleaned_data["on"], **common)


class UndoOrderChange(Undo):
    """Undo what was said anew."""

    subject_model, may, fact_name = OrderChange, "selling", "change"
    undoing = staticmethod(actions.undo_order_change)


class AskMore(OnOrderLine):
    """Note that more is asked for."""

    title, button, done = _("More is asked for"), _("Note it"), _("Noted.")
    intro = _("Nothing more is promised by it yet.")

    def act(self, form: BunchesForm, **common: Any) -> AskedChange:
        return actions.ask_more(order_line=self.subject, **form.given(), **common)


class UndoAskedChange(Undo):
    """Undo a change of what is asked for."""

    subject_model, may, fact_name = AskedChange, "selling", "change"
    undoing = staticmethod(actions.undo_asked_change)
