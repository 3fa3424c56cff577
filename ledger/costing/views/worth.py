"""What bunches cost, as a fragment for pages of stock."""

from __future__ import annotations

import re

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _

from ledger.facts.queries import today

from ..queries.worth import worth_of

MOST_ASKED = 500
ASKED = re.compile(r"n_([0-9]{1,18})=(-?[0-9]{1,9})")


def worth(request: HttpRequest) -> HttpResponse:
    """The stock cost today of so many bunches of batches, asked for as `n_BATCH=BUNCHES`; below zero what is missing."""
    if not request.user.may("see_costs"):  # type: ignore[union-attr]
        raise PermissionDenied(_("Your role does not show costs."))
    rows = worth_of(_asked(request), today())
    return render(request, "costing/_worth.html", {"rows": rows, "total": sum(row.amount for row in rows)})


def _asked(request: HttpRequest) -> dict[int, int]:
    """The batches and their bunches that can be read; what else was sent is passed over."""
    found = (ASKED.fullmatch(f"{name}={number}") for name, number in list(request.GET.items())[:MOST_ASKED])
    return {int(one[1]): int(one[2]) for one in found if one is not None}
