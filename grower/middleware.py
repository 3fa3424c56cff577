"""The holding's own time on every page."""

from collections.abc import Callable
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from ledger.facts.models import Holding


class HoldingTimeMiddleware:
    """Show every moment in the holding's time zone."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        zone = Holding.objects.filter(pk=1).values_list("time_zone", flat=True).first()
        with timezone.override(ZoneInfo(zone or "UTC")):
            return self.get_response(request)
