"""The valuation page and paper."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _

from ledger.facts.paper import paper
from ledger.facts.queries import holding, today
from ledger.reckoning.sharing import to_minor
from ledger.reckoning.years import year_bounds, year_of

from ..forms import ValuationForm
from ..queries.valuing import FLOWS, LineValue, StockValue, printed_lines, stock_value

FLOW_NAMES = {
    "opening": _("Opening stock at cost"),
    "made": _("Made"),
    "bought": _("Bought in"),
    "found": _("Found"),
    "sold": _("Sold"),
    "made_up": _("Made up into other goods"),
    "drawn": _("Drawn and never sold"),
    "written_off": _("Written off"),
    "closing_cost": _("Closing stock at cost"),
}


@dataclass(frozen=True)
class LineRow:
    """One line as shown, in whole minor units that add up to the totals."""

    of: LineValue
    cost: int
    realisable: int | None
    write_down: int

    @property
    def value(self) -> int:
        return self.cost - self.write_down


def valuation(request: HttpRequest) -> HttpResponse:
    """What the stock is worth at the end of a day, on screen."""
    form = ValuationForm(request.GET or _usual())
    about = _about(form) if form.is_valid() and _may(request) else {}
    return render(request, "books/valuation.html", {"form": form, **about})


def valuation_paper(request: HttpRequest) -> HttpResponse:
    """The same as paper for the accountant."""
    form = ValuationForm(request.GET or _usual())
    _may(request)
    if not form.is_valid():
        return render(request, "books/valuation.html", {"form": form}, status=422)
    about = _about(form)
    return paper(request, "print/valuation.html", about, f"valuation-{about['valued'].on}.pdf")


def _may(request: HttpRequest) -> bool:
    if not request.user.may("see_costs"):  # type: ignore[union-attr]
        raise PermissionDenied(_("Your role does not show costs."))
    return True


def _usual() -> dict[str, Any]:
    """The year that ended last, by the holding's own method."""
    kept = holding()
    ends = {"end_month": kept.year_end_month, "end_day": kept.year_end_day}
    first, last = year_bounds(year_of(today(), **ends) - 1, **ends)
    return {"on": last, "since": first, "method": kept.stock_method}


def _about(form: ValuationForm) -> dict[str, Any]:
    on: date = form.cleaned_data["on"]
    since = form.cleaned_data["since"]
    valued = stock_value(on, since=since if since and since <= on else None, method=form.cleaned_data["method"])
    flows = valued.in_minor()
    rows = _rows(valued, flows["closing_cost"])
    down = sum(row.write_down for row in rows)
    return {
        "valued": valued,
        "came_in": [(FLOW_NAMES[name], flows[name]) for name in FLOWS[:4]],
        "went_out": [(FLOW_NAMES[name], flows[name]) for name in FLOWS[4:]],
        "total": sum(flows[name] for name in FLOWS[:4]),
        "closing_cost": flows["closing_cost"],
        "write_down": down,
        "value": flows["closing_cost"] - down,
        "put_right": to_minor(valued.put_right),
        "rows": rows,
        "in_progress": [(place, to_minor(amount)) for place, amount in valued.in_progress.items()],
        "method_name": dict(form.fields["method"].choices)[valued.method],  # type: ignore[attr-defined]
        "query": form.data.urlencode() if hasattr(form.data, "urlencode") else "",
    }


def _rows(valued: StockValue, closing: int) -> list[LineRow]:
    costs, values = printed_lines(valued, closing)
    return [
        LineRow(line, cost, None if line.realisable is None else to_minor(line.realisable), cost - value)
        for line, cost, value in zip(valued.lines, costs, values, strict=True)
    ]
