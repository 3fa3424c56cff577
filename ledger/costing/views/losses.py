"""A season's losses, on screen and as paper."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, links_for
from ledger.facts.paper import paper
from ledger.facts.pictures import StackedBars

from ..queries.loss_tables import REASONS
from ..queries.losses import SeasonLosses, season_losses
from ..queries.names import figure_url, record_url
from .asking import Asked, as_paper, asked, filled


def losses(request: HttpRequest) -> HttpResponse:
    """What a season's stems were lost to, and what it cost those who may see costs."""
    question = asked(request)
    found = season_losses(question.season, question.on, question.number)
    links = links_for(
        request.user, as_paper(request, "costing:losses_paper"),
        Link(_("Where the same stem dries better"), reverse("costing:dries_better")),
        Link(_("Where the season's stems went"), reverse("costing:season")),
    )
    about = _about(request, found, question)
    return render(request, "costing/losses.html", {**about, "links": links, "form": filled(question, season=found.season)})


def losses_paper(request: HttpRequest) -> HttpResponse:
    """The same as paper."""
    question = asked(request)
    found = season_losses(question.season, question.on, question.number)
    about = _about(request, found, question)
    return paper(request, "print/losses.html", about, f"losses-{found.season}-{found.on}.pdf")


def _about(request: HttpRequest, found: SeasonLosses, question: Asked) -> dict[str, Any]:
    costs = request.user.may("see_costs")  # type: ignore[union-attr]
    return {
        "losses": found, "variety": question.variety, "costs": costs, "picture": picture_of_losses(found),
        "sources": [(row, (figure_url if costs else record_url)(row.key)) for row in found.by_source.rows if row.key],
    }


def picture_of_losses(found: SeasonLosses) -> StackedBars | None:
    """Stems lost in drying in each week of hanging, by reason; None where nothing was."""
    reasons = [reason for reason in REASONS if any(week.get(reason) for _name, week in found.weeks)]
    if not reasons:
        return None
    rows = [(name, [week.get(reason, 0) for reason in reasons]) for name, week in found.weeks]
    worst, numbers = max(rows, key=lambda row: sum(row[1]))
    by_reason = {reason: sum(week.get(reason, 0) for _name, week in found.weeks) for reason in reasons}
    most = max(reasons, key=lambda reason: by_reason[reason])
    told = {
        "stems": sum(by_reason.values()), "week": worst, "worst": sum(numbers),
        "reason": REASONS[most], "most": by_reason[most],
    }
    says = _(
        "%(stems)d stems were lost in drying. Most were hung in %(week)s: %(worst)d. The commonest reason: %(reason)s, %(most)d."
    )
    title = _("Stems lost by week of hanging and reason, season %(season)d") % {"season": found.season}
    return StackedBars("losses", title, says % told, _("Week of hanging"), [REASONS[reason] for reason in reasons], rows)
