"""Fresh or dry: what a stem brought either way, on screen and as paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, links_for, require_may
from ledger.facts.paper import paper
from ledger.facts.pictures import Pair, SideBySide
from ledger.facts.printing import Money
from ledger.facts.queries import today
from ledger.reckoning.sharing import printed

from ..forms import FreshOrDryForm
from ..queries.fresh_or_dry import Compared, OfVariety, Side, fresh_or_dry


@dataclass(frozen=True)
class SideShown:
    """One side as shown, in whole minor units; the weeks' add up to the season's."""

    of: Side
    net: int
    later: int
    selling: int
    fetch: int


@dataclass(frozen=True)
class Row:
    """A variety or a week as shown."""

    of: Compared
    label: str
    url: str
    says: str
    fresh: SideShown
    dried: SideShown


def sides_shown(sides: Sequence[Side]) -> list[SideShown]:
    """Several sides, each column of money rounded so that it adds up."""
    columns = [printed([getattr(side, name) for side in sides]) for name in ("net", "later", "selling", "fetch")]
    return [SideShown(side, *amounts) for side, *amounts in zip(sides, *columns, strict=True)]


def fresh_or_dry_page(request: HttpRequest) -> HttpResponse:
    """Every variety of a season, or one week by week."""
    require_may(request.user, "see_costs")
    form = FreshOrDryForm(request.GET or None)
    about = _about(form)
    query = f"?season={about['season']}" + (f"&variety={about['one'].pk}" if about["one"] else "")
    links = links_for(
        request.user, Link(_("As paper"), f"{reverse('books:fresh_or_dry_paper')}{query}"),
        *([Link(_("All varieties"), f"{reverse('books:fresh_or_dry')}?season={about['season']}")] if about["one"] else []),
        Link(_("Fewest stems to judge by"), reverse("books:least_stems")),
    )
    shown = form if form.errors else FreshOrDryForm(initial={"season": about["season"], "variety": about["one"]})
    return render(request, "books/fresh_or_dry.html", {"form": shown, "links": links, **about})


def fresh_or_dry_paper(request: HttpRequest) -> HttpResponse:
    """The same as paper."""
    require_may(request.user, "see_costs")
    about = _about(FreshOrDryForm(request.GET or None))
    return paper(request, "print/fresh_or_dry.html", {**about, "on_paper": True}, f"fresh-or-dry-{about['season']}.pdf")


def _about(form: FreshOrDryForm) -> dict[str, Any]:
    asked = form.cleaned_data if form.is_valid() else {}
    one, tells = asked.get("variety"), Tells()
    season, found = fresh_or_dry(asked.get("season"), today(), one.pk if one else None)
    varieties = tells.varieties(found, season)
    weeks = tells.weeks(found) if one else []
    drawn = weeks if one else [row for row in varieties if not row.of.why_not]
    title = _("%(variety)s by week of cutting, from its Monday") % {"variety": one} if one else _("Varieties sold both ways")
    picture = tells.picture(drawn, title, varieties) if drawn else None
    return {
        "season": season, "one": one, "varieties": varieties, "weeks": weeks, "picture": picture,
        "least": found[0].season.least if found else None,
    }


class Tells:
    """The rows and pictures in words."""

    def __init__(self) -> None:
        self.money = Money()

    def varieties(self, rows: Sequence[OfVariety], season: int) -> list[Row]:
        """Each variety's season with its sentence."""
        url = f"{reverse('books:fresh_or_dry')}?season={season}&variety="
        named = [(row.season, str(row.season.variety), f"{url}{row.season.variety.pk}") for row in rows]
        return self._rows(named)

    def weeks(self, rows: Sequence[OfVariety]) -> list[Row]:
        """Each week of cutting, by its first day."""
        return self._rows([(week, date_format(week.week or today()), "") for row in rows for week in row.weeks])

    def _rows(self, named: Sequence[tuple[Compared, str, str]]) -> list[Row]:
        fresh = sides_shown([of.fresh for of, _label, _url in named])
        dried = sides_shown([of.dried for of, _label, _url in named])
        both = zip(named, fresh, dried, strict=True)
        return [Row(of, label, url, self.says(of), one, other) for (of, label, url), one, other in both]

    def says(self, of: Compared) -> str:
        """One plain sentence."""
        known = {
            "fresh": of.fresh.number, "dried": of.dried.number, "least": of.least or 1, "unsold": of.dried.number_unsold,
            "by_fresh": self._a_hundred(of.fresh), "by_dried": self._a_hundred(of.dried), "days": of.dried.waited,
            "more": self.money.minor(abs(of.more_dried)),
        }
        return str(WHY_NOT.get(of.why_not) or _verdict(of)) % known

    def _a_hundred(self, side: Side) -> str:
        return self.money.minor(side.a_hundred) or "–"

    def picture(self, rows: Sequence[Row], title: Any, varieties: Sequence[Row]) -> SideBySide:
        """Fresh above dried, what a hundred stems brought, row by row."""
        pairs = [
            Pair(row.label, (row.of.fresh.a_hundred, row.of.dried.a_hundred),
                 (self._bar(_now("fresh"), row.of.fresh), self._bar(_now("dried"), row.of.dried)))
            for row in rows
        ]
        told = [row for row in varieties if not row.of.why_not]
        says = _now("Of %(n)d varieties sold both ways %(dry)d brought more dried.") % {
            "n": len(told), "dry": sum(1 for row in told if row.of.more_dried > 0),
        }
        return SideBySide("pairs", title, varieties[0].says if len(varieties) == 1 else says, pairs)

    def _bar(self, way: str, side: Side) -> str:
        return f"{way}: {self._a_hundred(side)}"


WHY_NOT = {
    "nothing_sold": _("Nothing of it is sold yet, so nothing can be said."),
    "only_dried": _(
        "Only sold dried: a hundred stems brought %(by_dried)s after loss, work and %(days)s days on average; "
        "there is nothing fresh to compare it with."
    ),
    "only_fresh": _("Only sold fresh: a hundred stems brought %(by_fresh)s; there is nothing dried to compare it with."),
    "no_cost": _("Cannot say yet: no work, room or material is entered on its drying and bunching."),
    "few_fresh": _("Too few stems were sold fresh to compare: %(fresh)d of at least %(least)d."),
    "few_dried": _("Too few stems were dried and sold to compare: %(dried)d of at least %(least)d."),
}


def _verdict(of: Compared) -> Any:
    if of.more_dried > 0:
        end = _("drying brought %(more)s more.")
    elif of.more_dried < 0:
        end = _("selling fresh brought %(more)s more.")
    else:
        end = _("both brought the same.")
    begin = _(
        "A hundred stems brought %(by_fresh)s sold fresh (of %(fresh)d) and %(by_dried)s dried, after loss, work and "
        "%(days)s days on average (of %(dried)d): "
    )
    return f"{begin}{end}"
