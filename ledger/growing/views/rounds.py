"""The page of a cutting round."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField
from ledger.facts.pages import Verb
from ledger.facts.queries import today
from ledger.facts.ruled import numbered

from .. import actions
from ..forms import CutRoundForm
from ..models import Lot, Planting


class CutRound(Verb):
    """One sheet through the beds; the day may stand in the address."""

    form_class, title, may, button = CutRoundForm, _("Cut round the beds"), "field", _("Record the round")
    template_name = "growing/cut_round.html"
    intro = _("Fill in what was cut; rows left empty are left out.")

    def day(self) -> date:
        """The day asked for, today where none can be read."""
        sent = self.request.POST or self.request.GET
        try:
            return DayField(required=False).clean(sent.get("on", "")) or today()
        except ValidationError:
            return today()

    def initial(self) -> dict[str, Any]:
        return {"on": self.day()}

    def form_given(self) -> dict[str, Any]:
        typed = [*numbered(self.request.POST, "n_"), *numbered(self.request.POST, "bundles_")]
        return {"plantings": Planting.objects.on_round(self.day(), also=typed)}

    def context(self) -> dict[str, Any]:
        return {"day": self.day()}

    def act(self, form: CutRoundForm, **common: Any) -> list[Lot]:
        return actions.cut_round(on=form.cleaned_data["on"], rows=form.rows(), **common)

    def then(self, result: Any) -> str:
        on = self.day()
        return f"{reverse('growing:lots')}?since={on}&until={on}"
