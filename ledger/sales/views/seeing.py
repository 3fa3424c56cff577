"""Who may see a page that only shows."""

from __future__ import annotations

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

SEES_ORDERS = ("packing", "selling", "invoices", "see_takings")
SEES_TAKINGS = ("selling", "see_takings")
SEES_PAPERS = ("invoices", "see_takings")


def require(request: HttpRequest, may: tuple[str, ...]) -> None:
    """Refuse those whose role allows none of `may`."""
    if not any(request.user.may(what) for what in may):  # type: ignore[union-attr]
        raise PermissionDenied(_("Your role does not allow this page."))
