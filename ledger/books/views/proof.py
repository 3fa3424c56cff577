"""The proof as a page."""

from __future__ import annotations

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _

from ledger.costing.queries.names import PLACES
from ledger.reckoning.sharing import printed

from ..forms import ProofForm
from ..queries.places import PUT_RIGHT, totals
from ..queries.proof import prove

NAMES = {**PLACES, PUT_RIGHT: _("earlier years put right")}


def proof(request: HttpRequest) -> HttpResponse:
    """Where every minor unit is, and every difference."""
    require_books(request)
    form = ProofForm(request.GET or None)
    found = prove(form.cleaned_data["on"] if form.is_valid() else None)
    paid = printed([place.paid for place in found.places.values()])
    full = printed([place.full for place in found.places.values()])
    rows = [(NAMES.get(name, name), one, other) for name, one, other in zip(found.places, paid, full, strict=True)]
    about = {"form": form, "proof": found, "rows": rows, "paid": sum(paid), "full": sum(full), "whole": totals(found.places)}
    return render(request, "books/proof.html", about)


def require_books(request: HttpRequest) -> None:
    """Refuse those who may not see the books."""
    if not request.user.may("books"):  # type: ignore[union-attr]
        raise PermissionDenied(_("Your role does not show the books."))
