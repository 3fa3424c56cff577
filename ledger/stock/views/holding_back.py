"""Pages of holding boxes back and letting them go."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import VerbForm
from ledger.facts.pages import Undo, Verb
from ledger.stock import actions
from ledger.stock.forms import HoldBackForm
from ledger.stock.models import Box, HeldBack, LetGo


class HoldBack(Verb):
    """Hold a box back until a day."""

    form_class, title, may, button = HoldBackForm, _("Hold it back"), "boxes", _("Hold it back")
    intro = _("What is in it is not offered, promised or picked up to that day; it stays in the stock and its value.")
    subject_model = Box

    def act(self, form: HoldBackForm, **common: Any) -> HeldBack:
        return actions.hold_back(box=self.subject, **form.given(), **common)


class LetItGo(Verb):
    """Let a box go before its time."""

    form_class, title, may, button = VerbForm, _("Let it go"), "boxes", _("Let it go")
    subject_model = HeldBack

    def act(self, form: VerbForm, **common: Any) -> LetGo:
        return actions.let_go(held_back=self.subject, **form.given(), **common)


class UndoHoldBack(Undo):
    """Undo a box being held back."""

    subject_model, may, fact_name = HeldBack, "boxes", "held_back"
    undoing = actions.undo_hold_back


class UndoLetGo(Undo):
    """Undo a box being let go."""

    subject_model, may, fact_name = LetGo, "boxes", "let_go"
    undoing = actions.undo_let_go
