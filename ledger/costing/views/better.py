"""Where and when the same stem dries better, on screen and as paper."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, links_for
from ledger.facts.paper import paper
from ledger.reckoning.surely import FEWEST, FEWEST_EACH

from ..forms import VarietyAskedForm
from ..queries.better import Judged, Told, every_variety, how_dried
from .asking import Asked, as_paper, asked, filled


@dataclass(frozen=True)
class Verdict:
    """One thing judged, and what may be said of it in words."""

    of: Judged
    on_loss: Sequence[Any]
    on_days: Sequence[Any]


def dries_better(request: HttpRequest) -> HttpResponse:
    """How one variety dried by place, week, stage and weather; without one, every variety in a line."""
    question = asked(request, VarietyAskedForm)
    links = links_for(
        request.user, as_paper(request, "costing:dries_better_paper"), Link(_("A season's losses"), reverse("costing:losses"))
    )
    return render(
        request, "costing/dries_better.html", {**_about(question), "links": links, "form": filled(question)}
    )


def dries_better_paper(request: HttpRequest) -> HttpResponse:
    """The same as paper."""
    question = asked(request, VarietyAskedForm)
    return paper(request, "print/dries_better.html", _about(question), f"dries-better-{question.on}.pdf")


def _about(question: Asked) -> dict[str, Any]:
    about = {"on": question.on, "variety": question.variety, "fewest": FEWEST, "fewest_each": FEWEST_EACH}
    if question.variety is None:
        return {**about, "dried": every_variety(question.on)}
    found = how_dried(question.variety, question.on)
    return {**about, "one": found, "verdicts": [_verdict(judged) for judged in found.judged]}


def _verdict(judged: Judged) -> Verdict:
    if not judged.enough:
        too_few = _("Too few to tell: two kinds of at least %(fewest)d hangings each are needed.") % {"fewest": FEWEST_EACH}
        return Verdict(judged, [too_few], [])
    on_loss = [_said(told, LOSS, in_a_hundred) for told in judged.by_loss]
    return Verdict(judged, on_loss, [_said(told, DAYS, str) for told in judged.by_days])


LOSS = {
    "sure": _(
        "Loss, %(better)s beside %(worse)s: surely less, by %(least)s to %(most)s in a hundred stems "
        "(%(better_n)d and %(worse_n)d hangings)."
    ),
    "unsure": _(
        "Loss, %(better)s beside %(worse)s: not sure, from %(most)s fewer to %(less)s more in a hundred stems "
        "(%(better_n)d and %(worse_n)d hangings)."
    ),
    "few": _("Loss, %(better)s beside %(worse)s: too few to tell (%(better_n)d and %(worse_n)d hangings)."),
}
DAYS = {
    "sure": _(
        "Days to dry, %(better)s beside %(worse)s: surely fewer, by %(least)s to %(most)s days "
        "(%(better_n)d and %(worse_n)d hangings)."
    ),
    "unsure": _(
        "Days to dry, %(better)s beside %(worse)s: not sure, from %(most)s days fewer to %(less)s more "
        "(%(better_n)d and %(worse_n)d hangings)."
    ),
    "few": _("Days to dry, %(better)s beside %(worse)s: too few to tell (%(better_n)d and %(worse_n)d hangings)."),
}


def _said(told: Told, words: dict[str, Any], number: Callable[[int], str]) -> Any:
    names = {
        "better": told.better.label, "worse": told.worse.label,
        "better_n": told.better.hangings, "worse_n": told.worse.hangings,
    }
    if told.by is None:
        return words["few"] % names
    sure = "sure" if told.by.least > 0 else "unsure"
    said = {"least": number(told.by.least), "most": number(max(told.by.most, 0)), "less": number(max(-told.by.least, 0))}
    return words[sure] % {**names, **said}


def in_a_hundred(bp: int) -> str:
    """Hundredths of a per cent as so many in a hundred."""
    return f"{Decimal(bp) / 100:f}"
