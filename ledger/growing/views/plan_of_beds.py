"""The page on which the beds of a plot are laid out."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Amendment
from ledger.facts.pages import Verb
from ledger.facts.pictures import PlanOfBeds, outlines

from .. import actions
from ..forms import LayOutBedsForm
from ..models import Bed, Plot
from ..queries import PlotPlan, plot_plan

SHOWN = 30
FIELD_NAMES = {
    "wide_m": _("width (m)"), "left_m": _("from the left (m)"), "front_m": _("from the front (m)"), "long_m": _("length (m)"),
    "across": _("runs across the plot"),
}


class LayOutBeds(Verb):
    """One sheet for all beds of a plot."""

    form_class, title, may, button = LayOutBedsForm, _("Lay out its beds"), "field", _("Keep the plan")
    template_name = "growing/lay_out_beds.html"
    subject_model = Plot
    intro = _(
        "Where each bed lies, seen from the plot's front edge: its nearest corner's distance from the left and the front, and "
        "its length, away from the front or across. Its width follows from its area. Leave a bed's row empty while nobody "
        "measured it."
    )

    def find_subject(self) -> None:
        super().find_subject()
        self.beds = list(Bed.objects.filter(plot=self.subject).select_related("plot").order_by("pk"))

    def initial(self) -> dict[str, Any]:
        return {}

    def form_given(self) -> dict[str, Any]:
        return {"plot": self.subject, "beds": self.beds}

    def act(self, form: LayOutBedsForm, **common: Any) -> Plot:
        wide = form.cleaned_data["wide_m"]
        return actions.lay_out_beds(plot=self.subject, wide_m=wide, places=form.places(), seen=form.seen(), **common)

    def context(self) -> dict[str, Any]:
        plan = plot_plan(self.subject, self.beds)
        depth = actions.metres(plan.patch.deep)
        return {"plan": plan, "picture": picture_of_plot(plan), "depth": depth, "history": self._history()}

    def _history(self) -> list[tuple[Any, ...]]:
        """What was said before of where they lie: the change, the bed or plot, the field in words, before and after."""
        plot = Amendment.objects.filter(model=Plot._meta.label, record_pk=str(self.subject.pk), field="wide_m")
        beds = {str(bed.pk): bed.name for bed in self.beds}
        of_beds = Amendment.objects.filter(model=Bed._meta.label, record_pk__in=list(beds), field__in=list(FIELD_NAMES))
        rows = (plot | of_beds).select_related("by")[:SHOWN]
        of_what = [self.subject if one.field == "wide_m" else beds[one.record_pk] for one in rows]
        said = [(FIELD_NAMES[one.field], _said(one.before), _said(one.after)) for one in rows]
        return [(one, what, *words) for one, what, words in zip(rows, of_what, said, strict=True)]


def _said(kept: str) -> Any:
    """A value of the history in words."""
    return {"None": "–", "True": _("yes"), "False": _("no")}.get(kept, kept)


def picture_of_plot(plan: PlotPlan) -> PlanOfBeds:
    """A plot with its beds, nothing coloured."""
    title = _("Plan of %(plot)s") % {"plot": plan.plot}
    says = _("%(plot)s is %(wide)s m wide and %(deep)s m deep; %(laid)d of its %(beds)d beds are laid out.") % {
        "plot": plan.plot, "wide": actions.metres(plan.patch.wide), "deep": actions.metres(plan.patch.deep),
        "laid": len(plan.beds) - len(plan.unlaid), "beds": len(plan.beds),
    }
    beds: list[tuple[Any, bool, str, list[Any]]] = [(one.patch, one.laid_out, one.bed.name, []) for one in plan.beds]
    return PlanOfBeds("plan", title, says, [outlines(str(plan.plot), plan.patch, beds, plan.behind)])
