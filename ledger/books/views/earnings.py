"""The bed-earnings page."""

from __future__ import annotations

from dataclasses import dataclass

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _

from ledger.costing.queries.names import figure_url
from ledger.facts.queries import today
from ledger.reckoning.sharing import to_minor

from ..forms import SeasonForm
from ..queries.earning import Earned, bed_earnings


@dataclass(frozen=True)
class EarnedRow:
    """One planting as shown: whole minor units that add up along the row."""

    of: Earned
    income: int
    cost: int
    contribution: int
    unsold: int
    per_m2: int | None
    per_m2_week: int | None
    per_hour: int | None
    hours: str
    figure_url: str

    @property
    def earned(self) -> int:
        return self.income - self.cost


def earnings(request: HttpRequest) -> HttpResponse:
    """Which planting of a season earned its bed, best first."""
    if not request.user.may("see_costs"):  # type: ignore[union-attr]
        raise PermissionDenied(_("Your role does not show costs."))
    asked = SeasonForm(request.GET or None)
    season = asked.cleaned_data["season"] if asked.is_valid() else None
    rows = [_shown(one) for one in bed_earnings(season, today())]
    total = {name: sum(getattr(row, name) for row in rows) for name in ("income", "cost", "earned", "contribution", "unsold")}
    shown = rows[0].of.season if rows else season
    form = asked if asked.errors else SeasonForm(initial={"season": shown})
    return render(request, "books/earnings.html", {"form": form, "rows": rows, "total": total, "season": shown})


def _shown(one: Earned) -> EarnedRow:
    def minor(amount: int | None) -> int | None:
        return None if amount is None else to_minor(amount)

    return EarnedRow(
        of=one, income=to_minor(one.income), cost=to_minor(one.cost), contribution=to_minor(one.contribution),
        unsold=to_minor(one.unsold), per_m2=minor(one.per_m2), per_m2_week=minor(one.per_m2_week),
        per_hour=minor(one.per_hour), hours=f"{one.minutes / 60:.1f}", figure_url=figure_url(one.source),
    )
