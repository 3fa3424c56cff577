"""Pages of the loft round and of what is due down."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.drying import actions
from ledger.drying.forms import TakeDownRoundForm
from ledger.drying.models import Hanging, Place, TakingDown
from ledger.drying.queries import due_down, hung_so_far
from ledger.facts.pages import Link, links_for
from ledger.facts.queries import today
from ledger.facts.ruled import numbered
from ledger.facts.sheets import Sheet


class TakeDownRound(Sheet):
    """One sheet along the hangings of a place; the day may stand in the address."""

    form_class, title, may, button = TakeDownRoundForm, _("Loft round"), "loft", _("Record the round")
    template_name = "drying/take_down_round.html"
    intro = _("Fill in what came down; rows left empty are left out.")
    subject_model = Place

    def form_given(self) -> dict[str, Any]:
        typed = [key for start in ("n_", "all_") for key in numbered(self.request.POST, start)]
        return {"ups": hung_so_far(Hanging.objects.on_round(self.subject, self.day(), also=typed), self.day())}

    def act(self, form: TakeDownRoundForm, **common: Any) -> list[TakingDown]:
        return actions.take_down_round(place=self.subject, on=form.cleaned_data["on"], rows=form.rows(), **common)

    def then(self, result: Any) -> str:
        return self.subject.get_absolute_url()


def due(request: HttpRequest) -> HttpResponse:
    """What has hung as long as such stems usually take, place by place."""
    ups = due_down(today())
    places = {up.hanging.place for up in ups}
    rounds = [
        Link(_("Loft round: %(place)s") % {"place": place}, reverse("drying:take_down_round", args=[place.pk]), "loft")
        for place in sorted(places, key=lambda place: (place.name, place.pk))
    ]
    links = links_for(request.user, *rounds, Link(_("All hangings"), reverse("drying:hangings")))
    return render(request, "drying/due_down.html", {"ups": ups, "links": links})
