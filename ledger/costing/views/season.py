"""Where a season's stems went, on screen and as paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, links_for
from ledger.facts.paper import paper
from ledger.facts.pictures import StemFlow
from ledger.reckoning.taking import proportion

from ..queries.season import WayOfStems, way_of_stems
from .asking import Asked, as_paper, asked, filled


@dataclass(frozen=True)
class WayRow:
    """One row of the picture's figures: a stage, or what left there."""

    label: Any
    stems: int
    share_bp: int
    stage: bool


def season(request: HttpRequest) -> HttpResponse:
    """A season's stems from cut to sold."""
    question = asked(request)
    found = way_of_stems(question.season, question.on, question.number)
    links = links_for(
        request.user, as_paper(request, "costing:season_paper"), Link(_("The season's losses"), reverse("costing:losses"))
    )
    return render(
        request, "costing/season.html", {**_about(found, question), "links": links, "form": filled(question, season=found.season)}
    )


def season_paper(request: HttpRequest) -> HttpResponse:
    """The same as paper."""
    question = asked(request)
    found = way_of_stems(question.season, question.on, question.number)
    return paper(request, "print/season.html", _about(found, question), f"season-{found.season}-{found.on}.pdf")


def _about(found: WayOfStems, question: Asked) -> dict[str, Any]:
    picture = picture_of_way(found) if found.cut else None
    return {"stems": found, "variety": question.variety, "rows": rows_of(found), "picture": picture}


def rows_of(found: WayOfStems) -> list[WayRow]:
    """Every stage with what left there, each as a part of what was cut."""
    rows: list[WayRow] = []
    for stage in found.stages:
        rows.append(_row(found, stage.label, stage.stems, stage=True))
        rows += [_row(found, one.label, one.stems) for one in stage.exits]
        if stage.beside:
            rows.append(_row(found, stage.beside.label, stage.beside.stems))
    return rows


def _row(found: WayOfStems, label: Any, stems: int, *, stage: bool = False) -> WayRow:
    return WayRow(label, stems, proportion(stems, 10_000, found.cut) if found.cut else 0, stage)


def picture_of_way(found: WayOfStems) -> StemFlow:
    """The stem of a season, what leaves it branching off."""
    lost = sum(one.stems for stage in found.stages for one in stage.exits if one.lost)
    says = _(
        "Of %(cut)d stems cut, %(sold)d were sold dried in bunches and %(lost)d were thrown out, lost or written off; "
        "the table says where every other stem went."
    ) % {"cut": found.cut, "sold": found.sold, "lost": lost}
    title = _("Where the stems of season %(season)d went, from cut to sold") % {"season": found.season}
    return StemFlow("season", title, says, found.stages)
