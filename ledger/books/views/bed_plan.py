"""The beds drawn to scale, coloured by what each earned, on a day, month by month and through the season."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from fractions import Fraction
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from ledger.facts.pages import Link, links_for, require_may
from ledger.facts.paper import paper
from ledger.facts.pictures import PLAIN, UNKNOWN, BedRows, Part, PlanOfBeds, RowBar, Shade, Shades, outlines
from ledger.facts.printing import Money
from ledger.facts.queries import today
from ledger.growing.models import Plot

from ..forms import BedPlanForm
from ..queries.bed_plan import BedEarned, BedPlan, Stood, bed_plan
from .earned_words import WHY_NOT


def bed_plan_page(request: HttpRequest) -> HttpResponse:
    """The plan of a season, on screen."""
    require_may(request.user, "see_costs")
    form = BedPlanForm(request.GET or None)
    about = _about(form)
    plan: BedPlan = about["plan"]
    query = f"?season={plan.season}&on={about['day']}"
    links = links_for(
        request.user, Link(_("As paper"), f"{reverse('books:bed_plan_paper')}{query}"),
        Link(_("Bed earnings"), f"{reverse('books:earnings')}?season={plan.season}"),
        *(_lay_out(one.plot) for one in plan.plots),
    )
    shown = form if form.errors else BedPlanForm(initial={"season": plan.season, "on": about["day"]})
    return render(request, "books/bed_plan.html", {"form": shown, "links": links, **about})


def _lay_out(plot: Plot) -> Link:
    return Link(_("Lay out the beds of %(plot)s") % {"plot": plot}, reverse("growing:lay_out_beds", args=[plot.pk]), "field")


def bed_plan_paper(request: HttpRequest) -> HttpResponse:
    """The same as paper."""
    require_may(request.user, "see_costs")
    about = _about(BedPlanForm(request.GET or None))
    return paper(request, "print/bed_plan.html", {**about, "on_paper": True}, f"bed-plan-{about['plan'].season}.pdf")


def _about(form: BedPlanForm) -> dict[str, Any]:
    asked = form.cleaned_data if form.is_valid() else {}
    plan = bed_plan(asked.get("season"), today())
    day = min(max(asked.get("on") or _midst(plan), plan.first), plan.last)
    draws = Draws(plan)
    return {
        "plan": plan, "day": day, "shades": draws.shades, "whole": draws.whole(), "that_day": draws.on(day, f"day-{day}"),
        "strip": [(date_format(month, "F Y"), draws.on(month, f"month-{month}", small=True)) for month in plan.months],
        "through": draws.through(), "beds": [draws.row(bed) for bed in plan.beds.values()],
        "unlaid": [bed for bed in plan.beds.values() if not bed.laid_out], "earned": plan.earned,
        "stood": [(bed, one, draws.shade(one)) for bed in plan.beds.values() for one in bed.stood],
        "month_names": [date_format(month, "M") for month in plan.months],
    }


def _midst(plan: BedPlan) -> date:
    return plan.first + (plan.last - plan.first) / 2


class Draws:
    """The pictures of one season's beds, all in the same shades."""

    def __init__(self, plan: BedPlan) -> None:
        self.plan, self.shades, self.money = plan, Shades(plan.amounts), Money()

    def shade(self, stood: Stood) -> Shade:
        """The shade of a planting that stands in a bed."""
        if not stood.of_season:
            return PLAIN
        return UNKNOWN if stood.per_m2 is None else self.shades.of(stood.per_m2)

    def row(self, bed: BedEarned) -> tuple[BedEarned, Shade | None, Any, list[list[str]]]:
        """A bed's row of figures: its shade, why it cannot be told, and what a m2 earned in the midst of each month."""
        shade = None if bed.per_m2 is None else self.shades.of(bed.per_m2)
        months = [[self._figure(one) if one.of_season else "*" for one in bed.on(month)] for month in self.plan.months]
        return bed, shade, WHY_NOT.get(bed.missing, ""), months

    def _figure(self, stood: Stood) -> str:
        if not stood.of_season:
            return _now("other season")
        return "?" if stood.per_m2 is None else str(self.money.minor(stood.per_m2))

    def whole(self) -> PlanOfBeds:
        """The whole season, each bed by what each of its m2 earned."""
        told = [bed for bed in self.plan.beds.values() if bed.per_m2 is not None]
        return self._plan("season", _("What each bed earned a m2, season %(season)d") % {"season": self.plan.season},
                          self._best_and_worst(told), self._whole_bed)

    def _best_and_worst(self, told: Sequence[BedEarned]) -> Any:
        if not told:
            return _("Nothing can be said yet of any bed.")
        best, worst = max(told, key=lambda bed: bed.per_m2 or 0), min(told, key=lambda bed: bed.per_m2 or 0)
        says = _(
            "The best was %(best)s with %(most)s a m2, the worst %(worst)s with %(least)s; "
            "%(gain)d of the %(beds)d that can be told earned more than they cost."
        )
        return says % {
            "best": best.bed, "most": self.money.minor(best.per_m2), "worst": worst.bed, "least": self.money.minor(worst.per_m2),
            "gain": sum(1 for bed in told if (bed.per_m2 or 0) > 0), "beds": len(told),
        }

    def on(self, day: date, name: str, *, small: bool = False) -> PlanOfBeds:
        """What stood in the beds on a day, each planting by what its m2 earned."""
        stood = [one for bed in self.plan.beds.values() for one in bed.on(day)]
        held = sum((one.area for one in stood), start=0)
        plantings = len({one.planting.pk for one in stood})
        says = ngettext(
            "On %(day)s %(n)d planting stood on %(m2)s m2 of the beds.",
            "On %(day)s %(n)d plantings stood on %(m2)s m2 of the beds.", plantings,
        ) % {"day": date_format(day), "n": plantings, "m2": held}
        return self._plan(name, _("What stood in the beds on %(day)s") % {"day": date_format(day)}, says,
                          lambda bed: [self._part(one) for one in bed.on(day)], small=small)

    def _plan(
        self, name: str, title: Any, says: Any, parts: Callable[[BedEarned], list[Part]], *, small: bool = False
    ) -> PlanOfBeds:
        plots = [
            outlines(str(one.plot), one.patch, [
                (bed.patch, bed.laid_out, bed.bed.name, parts(self.plan.beds[bed.bed.pk])) for bed in one.beds
            ], one.behind)
            for one in self.plan.plots
        ]
        return PlanOfBeds(name, title, says, plots, small)

    def _whole_bed(self, bed: BedEarned) -> list[Part]:
        if bed.without:
            return []
        figure = self.money.minor(bed.per_m2) or "?"
        shade = UNKNOWN if bed.per_m2 is None else self.shades.of(bed.per_m2)
        what = ", ".join(str(one.variety) for one in bed.plantings)
        says = _now("%(figure)s a m2: %(what)s") % {"figure": figure, "what": what}
        return [Part(Fraction(bed.bed.area_m2), shade, says, f"{figure} {shade.mark}")]

    def _part(self, stood: Stood) -> Part:
        shade, figure = self.shade(stood), self._figure(stood)
        said = {"what": stood.planting.variety, "m2": stood.area, "figure": figure}
        says = _now("%(what)s on %(m2)s m2, %(figure)s a m2") % said
        return Part(Fraction(stood.area), shade, says, f"{figure} {shade.mark}")

    def through(self) -> BedRows:
        """The beds through the season."""
        plan = self.plan
        rows = [(str(bed.bed), [self._bar(bed, one) for one in bed.stood]) for bed in plan.beds.values()]
        bare = sum(bed.bare_bp * int(bed.bed.area_m2 * 100) for bed in plan.beds.values())
        area = sum(int(bed.bed.area_m2 * 100) for bed in plan.beds.values())
        says = _("From %(first)s to %(last)s the beds lay bare for %(bare)d %% of their m2 and days.") % {
            "first": date_format(plan.first), "last": date_format(plan.last), "bare": bare // max(area, 1) // 100,
        }
        title = _("The beds through season %(season)d") % {"season": plan.season}
        return BedRows("through", title, says, plan.first, plan.last, rows)

    def _bar(self, bed: BedEarned, stood: Stood) -> RowBar:
        shade, figure = self.shade(stood), self._figure(stood)
        until = date_format(stood.until) if stood.until else "…"
        says = _now("%(what)s, %(since)s to %(until)s, %(figure)s a m2") % {
            "what": stood.planting.variety, "since": date_format(stood.since), "until": until, "figure": figure,
        }
        share = min(Fraction(stood.area) / Fraction(bed.bed.area_m2), Fraction(1))
        return RowBar(stood.first, stood.end, share, shade, f"{stood.planting.variety} {shade.mark}", says)
