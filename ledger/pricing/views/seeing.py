"""Who may see prices."""

from __future__ import annotations

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

SEES_PRICES = ("prices", "see_takings")


def require_may_see(request: HttpRequest) -> None:
    """Refuse those whose role shows no prices."""
    if not any(request.user.may(what) for what in SEES_PRICES):  # type: ignore[union-attr]
        raise PermissionDenied(_("Your role does not show prices."))
