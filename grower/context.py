"""What every page is given."""

from typing import Any

from django.http import HttpRequest

from ledger.facts.models import Holding


def site(request: HttpRequest) -> dict[str, Any]:
    """The holding, for the page head; None before set-up."""
    return {"holding": Holding.objects.filter(pk=1).first()}
