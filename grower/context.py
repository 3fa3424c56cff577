"""What every page is given."""

from typing import Any

from django.http import HttpRequest

from ledger.facts.models import Holding, User

from .way import way


def site(request: HttpRequest) -> dict[str, Any]:
    """The holding (None before set-up) and the way through, for the page's frame."""
    signed_in = isinstance(getattr(request, "user", None), User)
    return {"holding": Holding.objects.filter(pk=1).first(), "way": way(request) if signed_in else None}
