"""The page of a cutting round."""

from __future__ import annotations

from typing import Any

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.ruled import numbered
from ledger.facts.sheets import Sheet

from .. import actions
from ..forms import CutRoundForm
from ..models import Lot, Planting


class CutRound(Sheet):
    """One sheet through the beds; the day may stand in the address."""

    form_class, title, may, button = CutRoundForm, _("Cut round the beds"), "field", _("Record the round")
    template_name = "growing/cut_round.html"
    intro = _("Fill in what was cut; rows left empty are left out.")

    def form_given(self) -> dict[str, Any]:
        typed = [key for start in ("n_", "bundles_", "fresh_g_") for key in numbered(self.request.POST, start)]
        return {"plantings": Planting.objects.on_round(self.day(), also=typed)}

    def act(self, form: CutRoundForm, **common: Any) -> list[Lot]:
        return actions.cut_round(on=form.cleaned_data["on"], rows=form.rows(), **common)

    def then(self, result: Any) -> str:
        on = self.day()
        return f"{reverse('growing:lots')}?since={on}&until={on}"
