"""The page on which a whole count sheet is typed in."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Verb
from ledger.stock import actions
from ledger.stock.forms.take_sheets import TakeSheetForm
from ledger.stock.models import StockTake
from ledger.stock.queries import empty_boxes, places_of


class CountSheet(Verb):
    """Type in what was written on the printed sheet of a stock-take, all boxes on one page."""

    form_class, title, may, button = TakeSheetForm, _("Type in the count sheet"), "boxes", _("Note all of it")
    done = _("Counted.")
    intro = _(
        "In the order of the printed sheet. An empty field is not counted yet; none there is 0. Type it in before what was sold "
        "after counting is entered, or that counts as over."
    )
    subject_model, template_name = StockTake, "stock/type_sheet.html"

    def find_subject(self) -> None:
        super().find_subject()
        self.places = places_of(self.subject)

    def form_given(self) -> dict[str, Any]:
        return {"places": self.places, "shown": self.subject.shown}

    def act(self, form: TakeSheetForm, **common: Any) -> Any:
        return actions.count_sheet(on=form.cleaned_data["on"], take=self.subject, counted=form.counted(), **common)

    def then(self, result: Any) -> str:
        return self.subject.get_absolute_url()  # type: ignore[no-any-return]

    def context(self) -> dict[str, Any]:
        return {"empty": empty_boxes(self.subject, self.places)}
