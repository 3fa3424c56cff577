"""Pages of a job's deposits, and of its end: done or cancelled."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import VerbForm
from ledger.facts.pages import Undo, Verb
from ledger.facts.queries import tax_rate_on, today
from ledger.pricing.queries.words import in_money
from ledger.sales import actions
from ledger.sales.forms.jobs import CancelJobForm, DepositForm, GiveBackForm
from ledger.sales.models import Deposit, Job, JobCancelled, JobDone
from ledger.sales.queries.jobs import deposits_held


class OnJob(Verb):
    """A verb on one job; goes back to it."""

    may, subject_model = "selling", Job

    def then(self, result: Any) -> str:
        return self.subject.get_absolute_url()


class TakeDeposit(OnJob):
    """Take money ahead for a job."""

    form_class, title, button = DepositForm, _("Take a deposit"), _("Taken")
    intro = _("It is owed to the customer until the job is billed, and is no income before.")

    def act(self, form: DepositForm, **common: Any) -> Deposit:
        return actions.take_deposit(job=self.subject, **form.given(), **common)


class GiveBackDeposit(OnJob):
    """Give money of a deposit back."""

    form_class, title, button = GiveBackForm, _("Give a deposit back"), _("Given back")

    def initial(self) -> dict[str, Any]:
        return {"amount": deposits_held(self.subject) or None, **super().initial()}

    def act(self, form: GiveBackForm, **common: Any) -> Deposit:
        return actions.give_back_deposit(job=self.subject, **form.given(), **common)


class UndoDeposit(Undo):
    """Undo a deposit or a giving back."""

    subject_model, may, fact_name = Deposit, "selling", "deposit"
    undoing = staticmethod(actions.undo_deposit)


class DoJob(OnJob):
    """Say that a job is done."""

    form_class, title, button, done = VerbForm, _("The job is done"), _("It is done"), _("Done.")
    template_name = "sales/do_job.html"

    def context(self) -> dict[str, Any]:
        """What will be charged, and what is free again."""
        job = Job.objects.with_standing().get(pk=self.subject.pk)
        charged = _("%(quoted)s, as quoted, is its income of that day.") % {"quoted": in_money(job.quoted)}  # type: ignore[attr-defined]
        let_go = _("%(n)d bunches still kept for it are free again.") % {"n": job.kept} if job.kept else ""  # type: ignore[attr-defined]
        return {"intro": f"{charged} {let_go}", "held_on": job.held_on_now, "ahead": (job.held_on_now - today()).days}  # type: ignore[attr-defined]

    def act(self, form: VerbForm, **common: Any) -> JobDone:
        return actions.do_job(job=self.subject, on=form.cleaned_data["on"], **common)


class UndoJobDone(Undo):
    """Undo that a job is done."""

    subject_model, may, fact_name = JobDone, "selling", "job_done"
    undoing = staticmethod(actions.undo_job_done)


class CancelJob(OnJob):
    """Cancel a job."""

    form_class, title, button, done = CancelJobForm, _("Cancel the job"), _("Cancel it"), _("Cancelled.")
    intro = _("What is kept for it is free again; things hired out can still come back.")

    def form_given(self) -> dict[str, Any]:
        return {"held": deposits_held(self.subject), "rate_bp": tax_rate_on(today())}

    def act(self, form: CancelJobForm, **common: Any) -> JobCancelled:
        return actions.cancel_job(job=self.subject, **form.given(), **common)


class UndoCancelling(Undo):
    """Undo a cancelling."""

    subject_model, may, fact_name = JobCancelled, "selling", "job_cancelled"
    undoing = staticmethod(actions.undo_cancelling)
