"""Planned against actual margin, and which stall day was worth going, on screen and as paper."""

from __future__ import annotations

from datetime import date
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.costing.queries.names import record_url
from ledger.facts.pages import Link, links_for, require_may
from ledger.facts.paper import paper
from ledger.facts.queries import holding, today
from ledger.reckoning.years import year_bounds, year_of

from ..forms import MarginForm, StretchForm
from ..queries.margins import MarginRow, Margins, each_sale, margins, names_of
from ..queries.market_days import by_market, market_days, total_of
from ..queries.sold import BILLED, BY_TERMS, CARD_BILLED, PITCH_BILLED
from ..queries.work_missing import Missing

FEES = {
    BY_TERMS: _("fees by the terms, none is billed"),
    PITCH_BILLED: _("pitch billed, other fees by the terms"),
    CARD_BILLED: _("card fee billed, other fees by the terms"),
    BILLED: _("fees as billed"),
}
KINDS = ("line", "fresh", "customer", "way", "stall_day", "job", "hire", "workshop", "")
SHEETS = {"job": "books:job_margin", "workshop": "books:workshop_margin"}


def margins_page(request: HttpRequest) -> HttpResponse:
    """What margin was planned and what resulted, for a stretch of days."""
    require_may(request.user, "see_costs")
    form = MarginForm({**usual_stretch(by="way"), **request.GET.dict()})
    links = links_for(
        request.user, _as_paper(form, "books:margins_paper"),
        Link(_("Which stall day was worth going"), f"{reverse('books:market_days')}?{_query(form, 'first', 'last')}"),
    )
    return render(request, "books/margins.html", {"form": form, "links": links, **_margins(form)})


def margins_paper(request: HttpRequest) -> HttpResponse:
    """The same as paper."""
    require_may(request.user, "see_costs")
    form = MarginForm({**usual_stretch(by="way"), **request.GET.dict()})
    if not form.is_valid():
        return render(request, "books/margins.html", {"form": form}, status=422)
    return paper(request, "print/margins.html", {**_margins(form), "on_paper": True}, f"margins-{form.cleaned_data['last']}.pdf")


def margin_sales(request: HttpRequest) -> HttpResponse:
    """The sales behind one row, or all of them, each with its margin."""
    require_may(request.user, "see_costs")
    form = MarginForm({**usual_stretch(by="way"), **request.GET.dict()})
    group = _group(request.GET["of"]) if "of" in request.GET else None
    if not form.is_valid():
        return render(request, "books/margins.html", {"form": form}, status=422)
    asked = form.cleaned_data
    found = margins(asked["by"], asked["first"], asked["last"], today(), only=group)
    name = found.rows[0].name if group and found.rows else names_of([group]).get(group, "") if group else ""
    rows = [(line, row, record_url(line.spent_on), _fees(row)) for line, row in each_sale(found)]
    back = Link(_("All margins"), f"{reverse('books:margins')}?{_query(form, 'first', 'last', 'by')}")
    sheet = [Link(_("Its margin sheet"), reverse(SHEETS[group[0]], args=[group[1]]))] if group and _is_work(group) else []
    about = {"name": name, "rows": rows, "total": found.total, "links": [back, *sheet], "asked": asked}
    about["lacking"] = _lacking(found)
    return render(request, "books/margin_sales.html", about)


def _is_work(group: tuple[str, int]) -> bool:
    """Whether a row is of one job or workshop."""
    return group[0] in SHEETS and bool(group[1])


def market_days_page(request: HttpRequest) -> HttpResponse:
    """Every stall day of a stretch with what it brought, cost and left."""
    require_may(request.user, "see_costs")
    form = StretchForm({**usual_stretch(), **request.GET.dict()})
    links = links_for(
        request.user, _as_paper(form, "books:market_days_paper"),
        Link(_("Planned and actual margin"), f"{reverse('books:margins')}?{_query(form, 'first', 'last')}&by=market_day"),
    )
    return render(request, "books/market_days.html", {"form": form, "links": links, **_market_days(form)})


def market_days_paper(request: HttpRequest) -> HttpResponse:
    """The same as paper."""
    require_may(request.user, "see_costs")
    form = StretchForm({**usual_stretch(), **request.GET.dict()})
    if not form.is_valid():
        return render(request, "books/market_days.html", {"form": form}, status=422)
    about = {**_market_days(form), "on_paper": True}
    return paper(request, "print/market_days.html", about, f"market-days-{form.cleaned_data['last']}.pdf")


def usual_stretch(**more: Any) -> dict[str, Any]:
    """The books' year that ended last: what a page is about that is not asked for other days."""
    first, last = _year_of_books(today(), -1)
    return {"first": first, "last": last, **more}


def margins_of_year(on: date, by: str) -> str:
    """The address of the margins of the books' year a day is in."""
    first, last = _year_of_books(on)
    return f"{reverse('books:margins')}?{urlencode({'first': first, 'last': last, 'by': by})}"


def _year_of_books(on: date, later: int = 0) -> tuple[date, date]:
    kept = holding()
    ends = {"end_month": kept.year_end_month, "end_day": kept.year_end_day}
    return year_bounds(year_of(on, **ends) + later, **ends)


def _margins(form: MarginForm) -> dict[str, Any]:
    if not form.is_valid():
        return {}
    asked = form.cleaned_data
    found = margins(asked["by"], asked["first"], asked["last"], today())
    query = _query(form, "first", "last", "by")
    rows = [(row, f"{reverse('books:margin_sales')}?{query}&of={row.group[0]}:{row.group[1]}", _fees(row)) for row in found.rows]
    by = dict(form.fields["by"].choices)[asked["by"]]  # type: ignore[attr-defined]
    return {"asked": asked, "by": by, "rows": rows, "total": found.total, "lacking": _lacking(found)}


def _lacking(found: Margins) -> list[tuple[str, str, Missing]]:
    """The name, the address of its margin sheet and what it lacks, of each job and workshop that lacks something."""
    names = names_of(found.missing)
    return [(names[work], reverse(SHEETS[work[0]], args=[work[1]]), one) for work, one in sorted(found.missing.items())]


def _fees(row: MarginRow) -> list[Any]:
    return [FEES[word] for word in FEES if word in row.fees_by]


def _market_days(form: StretchForm) -> dict[str, Any]:
    if not form.is_valid():
        return {}
    days = market_days(form.cleaned_data["first"], form.cleaned_data["last"], today())
    return {"asked": form.cleaned_data, "days": days, "markets": by_market(days), "total": total_of(days)}


def _group(text: str) -> tuple[str, int]:
    kind, _colon, number = text.partition(":")
    if kind not in KINDS or not number.isdecimal() or len(number) > 18:
        raise Http404(_("There is no such row."))
    return kind, int(number)


def _query(form: forms.Form, *names: str) -> str:
    given = form.cleaned_data if form.is_valid() else usual_stretch(by="way")
    return "&".join(f"{name}={given[name]}" for name in names)


def _as_paper(form: forms.Form, name: str) -> Link:
    return Link(_("As paper"), f"{reverse(name)}?{_query(form, *form.fields)}")
