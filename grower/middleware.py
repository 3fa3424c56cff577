"""The holding's own time on every page, addresses that name numbers no record has, and where a form's answer leads."""

from collections.abc import Callable
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib import messages
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
    """Answer an address that names a number beyond any record's with “not found”, before a database stumbles over it.

    Words looked for (`q`) are no number of a record's.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, given: dict[str, Any]) -> None:
        typed = [value for name, values in request.GET.lists() if name != "q" for value in values]
        asked = [*map(str, given.values()), *typed]
        if any(one.isdecimal() and int(one[:MOST_DIGITS]) > LAST_KEY for one in asked):
            raise Http404


class LedToMiddleware:
    """Name where an answer leads, in `Led-To`, to a script that sent a form itself: it could not read a redirection.

    The script says in `Waiting` whether the person is there to follow ("now"); a form that had waited leaves no sentence
    for the next page ("later").
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        sent = request.headers.get("Waiting")
        if sent not in {"now", "later"} or response.status_code not in {301, 302, 303}:
            return response
        if sent == "later":
            list(messages.get_messages(request))
        return HttpResponse(status=204, headers={"Led-To": response.headers["Location"]})
