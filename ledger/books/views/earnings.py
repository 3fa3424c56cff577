"""The bed-earnings page, on screen and as paper."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, links_for
from ledger.facts.paper import paper
from ledger.facts.printing import Money
from ledger.facts.queries import today
from ledger.reckoning.sharing import to_minor

from ..forms import EarningsForm
from ..queries.figures import HUNDREDTHS, WEEK
from ..queries.ranking import Ranking
from ..queries.report import Question, Report, report
from .earned_picture import picture_of
from .earned_rows import bridge_rows, rows_of, totals_of
from .earned_words import WHY_NOT, said


def earnings(request: HttpRequest) -> HttpResponse:
    """Which of a season's plantings, varieties, species or beds earned their bed, best first."""
    form = _asked(request)
    if not form.is_valid():
        return render(request, "books/earnings.html", {"form": form}, status=422)
    found = report(_question(form), today())
    query = request.GET.urlencode()
    links = links_for(
        request.user,
        Link(_("As paper"), reverse("books:earnings_paper") + (f"?{query}" if query else "")),
        Link(_("Fewest stems to judge by"), reverse("books:least_stems")),
    )
    return render(request, "books/earnings.html", {"form": _filled(form, found), "links": links, **_about(found)})


def earnings_paper(request: HttpRequest) -> HttpResponse:
    """The same as paper."""
    form = _asked(request)
    if not form.is_valid():
        return render(request, "books/earnings.html", {"form": form}, status=422)
    found = report(_question(form), today())
    return paper(request, "print/earnings.html", {**_about(found), "on_paper": True}, f"earnings-{found.first}-{found.last}.pdf")


def _asked(request: HttpRequest) -> EarningsForm:
    if not request.user.may("see_costs"):  # type: ignore[union-attr]
        raise PermissionDenied(_("Your role does not show costs."))
    return EarningsForm(request.GET)


def _question(form: EarningsForm) -> Question:
    said_so = form.cleaned_data
    kind, _colon, number = said_so["within"].partition(":")
    return Question(
        said_so["season"], said_so["until"], said_so["by"] or "planting", said_so["scarce"] or "bed", said_so["month"],
        (kind, int(number)) if kind else None,
    )


def _filled(form: EarningsForm, found: Report) -> EarningsForm:
    """The form as it was answered; what was within one group is left."""
    until = found.last if found.last != found.first else None
    about = {"season": found.first, "until": until, "scarce": found.ranking.scarce, "month": found.ranking.month}
    return EarningsForm(initial={**about, "by": found.within.key[0] if found.within else found.by})


def _about(found: Report) -> dict[str, Any]:
    rows, money = rows_of(found), Money()
    by_key = {row.of.key: row for row in rows}
    title = _("What each brought in and cost, best first, season %(season)s") % {"season": _seasons(found)}
    return {
        "report": found, "rows": rows, "total": totals_of(rows), "season": _seasons(found),
        "picture": picture_of(found.ranking, by_key, title), **_ranked(found.ranking, by_key),
        "verdicts": [said(one, money) for one in found.verdicts], **_bridges(found),
    }


def _seasons(found: Report) -> str:
    return str(found.first) if found.first == found.last else f"{found.first}–{found.last}"


def _ranked(ranking: Ranking, rows: dict[Any, Any]) -> dict[str, Any]:
    unit = HUNDREDTHS * WEEK if ranking.scarce == "bed" else 60
    return {
        "ranked": [(one, rows[one.of.key], f"{one.needs / unit:.1f}", to_minor(one.rate)) for one in ranking.rows],
        "apart": [(rows[group.key], WHY_NOT[why]) for group, why in ranking.apart],
        "month_name": dict(EarningsForm.base_fields["month"].choices).get(ranking.month or ""),  # type: ignore[attr-defined]
    }


def _bridges(found: Report) -> dict[str, Any]:
    year = found.bridge
    if year is None:
        return {}
    return {
        "bridges": [
            (_("Income"), bridge_rows(year.income, _("Income on this page"), _("Net sales of the year"))),
            (_("Cost"), bridge_rows(year.cost, _("Cost on this page"), _("All that was spent in the year, unpaid hours too"))),
            (_("Where all that was spent came to rest"), bridge_rows(year.places, "", _("All that was spent in the year"))),
        ],
    }
