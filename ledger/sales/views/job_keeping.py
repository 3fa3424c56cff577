"""Pages of bunches kept for a job."""

from __future__ import annotations

from typing import Any

from django.shortcuts import get_object_or_404
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import VerbForm
from ledger.facts.pages import Undo, Verb
from ledger.facts.queries import today
from ledger.sales import actions
from ledger.sales.forms import BunchesForm
from ledger.sales.forms.jobs import KeepForJobForm
from ledger.sales.models import Job, JobHold
from ledger.sales.queries.job_needs import LINE, needed_for
from ledger.stock.models import Hold, HoldChange, Line


class KeepForJob(Verb):
    """Keep bunches of a line for a job."""

    form_class, title, may, button = KeepForJobForm, _("Keep bunches for the job"), "selling", _("Keep them")
    subject_model = Job
    intro = _("They are nobody else's until they are taken, or given back.")

    def form_given(self) -> dict[str, Any]:
        seasons = self.subject.holds.filter(hold__season__isnull=False).values_list("hold__season", flat=True)
        return {"lines": list(Line.objects.whole().with_free().filter(free__gt=0)), "kept": set(seasons)}

    def act(self, form: KeepForJobForm, **common: Any) -> JobHold:
        return actions.keep_for_job(job=self.subject, **form.given(), **common)

    def then(self, result: Any) -> str:
        return self.subject.get_absolute_url()


class KeepAllForJob(KeepForJob):
    """Keep of every line what the job's pieces need and is free."""

    form_class, title, button = VerbForm, _("Keep what the job needs"), _("Keep what is free")  # type: ignore[assignment]
    intro = _("Of each line as many as its pieces need and are not kept or taken yet, as far as they are free.")

    template_name = "sales/keep_all_for_job.html"

    def form_given(self) -> dict[str, Any]:
        return {}

    def context(self) -> dict[str, Any]:
        return {"needs": [one for one in needed_for(self.subject, today()) if one.kind == LINE and one.lacking]}

    def act(self, form: VerbForm, **common: Any) -> Any:  # type: ignore[override]
        return actions.keep_all_for_job(job=self.subject, on=form.cleaned_data["on"], **common)


class FreeFromJob(Verb):
    """Give back what is kept for a job of one line."""

    form_class, title, may, button = BunchesForm, _("Give back what is kept"), "selling", _("Give them back")

    def find_subject(self) -> None:
        holds = JobHold.objects.select_related("job", "line__variety__species", "hold")
        self.subject = get_object_or_404(holds, pk=self.given["pk"])
        self.now = Hold.objects.with_kept().with_short().get(pk=self.subject.hold_id)
        if self.now.short:
            self.intro = _("%(n)d of its promise are short: given back, they are owed no more.") % {"n": self.now.short}

    def initial(self) -> dict[str, Any]:
        return {"bunches": max(self.now.kept, 0) + self.now.short or None, **super().initial()}

    def context(self) -> dict[str, Any]:
        return {"subject": self.subject.hold}

    def act(self, form: BunchesForm, **common: Any) -> Any:
        return actions.free_from_job(job_hold=self.subject, **form.given(), **common)

    def then(self, result: Any) -> str:
        return self.subject.job.get_absolute_url()


class UndoKept(Undo):
    """Undo a keeping or a giving back."""

    subject_model, may, fact_name = HoldChange, "selling", "change"
    undoing = staticmethod(actions.undo_kept)

    def find_subject(self) -> None:
        changes = HoldChange.objects.filter(hold__job_hold__isnull=False)
        self.subject = get_object_or_404(changes, pk=self.given["pk"])

    def then(self, result: HoldChange) -> str:
        return result.hold.job_hold.job.get_absolute_url()
