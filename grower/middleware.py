"""The holding's own time on every page, and addresses that name numbers no record has."""

from collections.abc import Callable
from typing import Any
from zoneinfo import ZoneInfo

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from ledger.facts.models import Holding

LAST_KEY, MOST_DIGITS = 2**63 - 1, 25


class HoldingTimeMiddleware:
    """Show every moment in the holding's time zone."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        zone = Holding.objects.filter(pk=1).values_list("time_zone", flat=True).first()
        with timezone.override(ZoneInfo(zone or "UTC")):
            return self.get_response(request)


class KnownNumbersMiddleware:
    """Answer an address that names a number beyond any record's with “not found”, before a database stumbles over it."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, given: dict[str, Any]) -> None:
        asked = [*map(str, given.values()), *(value for _name, values in request.GET.lists() for value in values)]
        if any(one.isdecimal() and int(one[:MOST_DIGITS]) > LAST_KEY for one in asked):
            raise Http404
