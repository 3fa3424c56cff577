"""The price list of a way as of any day, on screen and paper, and the sheet its prices are set on."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, links_for
from ledger.facts.paper import paper
from ledger.facts.queries import today
from ledger.facts.sheets import Sheet

from .. import actions
from ..forms import AsOfDayForm, SheetOfPricesForm
from ..models import Offer, Price, Way
from ..queries.lists import list_rows
from ..queries.sheet import Effect, effects, sheet_of_prices
from .looking import LooksFirst
from .seeing import require_may_see


def price_list(request: HttpRequest, pk: int) -> HttpResponse:
    """What each line costs by a way as of a day, with steps and offers."""
    require_may_see(request)
    way, on, form = _asked(request, pk)
    links = links_for(
        request.user,
        Link(_("As paper"), f"{reverse('pricing:price_list_paper', args=[pk])}?on={on}"),
        Link(_("Set its prices"), reverse("pricing:set_prices", args=[pk]), "prices"),
        Link(_("The way itself"), way.get_absolute_url()),
    )
    return render(request, "pricing/price_list.html", {**_about(way, on), "form": form, "links": links})


def price_list_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The same as paper."""
    require_may_see(request)
    way, on, _form = _asked(request, pk)
    return paper(request, "print/price_list.html", _about(way, on), f"price-list-{pk}-{on}.pdf")


def _asked(request: HttpRequest, pk: int) -> tuple[Way, date, AsOfDayForm]:
    form = AsOfDayForm(request.GET or None)
    on: date = (form.is_valid() and form.cleaned_data["on"]) or today()
    return get_object_or_404(Way, pk=pk), on, form if form.errors else AsOfDayForm(initial={"on": on})


def _about(way: Way, on: date) -> dict[str, Any]:
    offers = Offer.objects.open_on(on).filter(way=way).whole()
    return {"way_of_selling": way, "on": on, "rows": list_rows(way, on), "offers": offers}


class SetPrices(LooksFirst, Sheet):
    """All prices of a way on one sheet; what the new ones do is shown before they are set."""

    form_class, title, may, button = SheetOfPricesForm, _("Set its prices"), "prices", _("Set them")
    template_name, subject_model = "pricing/set_prices.html", Way
    intro = _(
        "Write a new price beside the lines that change and leave the others empty. Nothing is set until you have seen "
        "what it does."
    )

    def form_given(self) -> dict[str, Any]:
        return {"rows": sheet_of_prices(self.subject, self.day(), with_costs=self.sees_costs())}

    def way(self, form: SheetOfPricesForm) -> Way:
        return self.subject  # type: ignore[no-any-return]

    def seen(self, form: SheetOfPricesForm) -> list[Effect]:
        return effects(self.subject, form.cleaned_data["on"], form.prices(), with_costs=self.sees_costs())

    def act(self, form: SheetOfPricesForm, **common: Any) -> list[Price]:
        return actions.set_prices(way=self.subject, on=form.cleaned_data["on"], prices=form.prices(), **common)

    def then(self, result: Any) -> str:
        return self.subject.get_absolute_url()
