"""The page of a substitution while picking."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.sales import actions
from ledger.sales.forms.lines import SubstituteForm
from ledger.sales.models import OrderLine
from ledger.sales.queries.picking import missing_of, picks, places_instead

from .orders import OnOrderLine


class Substitute(OnOrderLine):
    """Pack other bunches in the place of what cannot be found."""

    form_class, title, may, button, done = SubstituteForm, _("Pack something else instead"), "packing", _("Packed"), _("Packed.")
    intro = _("Of the same variety or colour, and promised to nobody. What was asked for stays as it is and says what stands in.")

    def initial(self) -> dict[str, Any]:
        """What is to be packed and lies nowhere, or lacks and is not said to come later, if that is more."""
        line = self.subject
        found = sum(pick.proposed for pick in picks(line.order) if pick.order_line.pk == line.pk)
        proposed = min(max(missing_of(line, found), line.otherwise), line.not_packed)
        return {"bunches": max(proposed, 0) or None, **super().initial()}

    def form_given(self) -> dict[str, Any]:
        return {"places": places_instead(self.subject)}

    def act(self, form: SubstituteForm, **common: Any) -> OrderLine:
        taken, given = form.taken, form.cleaned_data
        return actions.substitute(
            order_line=self.subject, on=given["on"], batch=taken.batch, box=taken.box, bunches=given["bunches"], **common
        )
