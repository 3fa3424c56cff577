"""Entries made without signal: what the script of every page asks the server, and the page that says how it works."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe


@never_cache
@require_safe
def here(request: HttpRequest) -> HttpResponse:
    """Say that the ledger can be reached, who is signed in, and the token a form sent now must carry."""
    return JsonResponse({"user": str(request.user.pk), "token": get_token(request)})


@require_safe
def waiting(request: HttpRequest) -> HttpResponse:
    """How entries wait; what waits is known to the device alone, whose script lists it."""
    return render(request, "site/waiting_page.html", {"title": _("Without signal")})
