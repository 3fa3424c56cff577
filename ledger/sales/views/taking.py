"""Pages of what goes along to a job or a workshop, and of what comes back."""

from __future__ import annotations

from typing import Any

from django.shortcuts import get_object_or_404
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import VerbForm
from ledger.facts.pages import Undo, Verb
from ledger.facts.queries import today
from ledger.sales import actions
from ledger.sales.forms.taking import BackForm, BunchesBackForm, StemsBackForm, TakeBunchesForm, TakeForm
from ledger.sales.models import CameBack, Job, Taken, Workshop
from ledger.sales.queries.taken import bunches_out, still_out_of
from ledger.sales.queries.to_take import boxes_to_take_from, lines_to_take, lots_to_take
from ledger.stock.models import Box
from ledger.stock.queries import cautions_for


class TakeFor(Verb):
    """Take bunches along. `?box=`: from one box."""

    form_class: type[VerbForm] = TakeBunchesForm
    title, may, button, done = _("Take bunches for it"), "packing", _("Taken"), _("Taken.")
    template_name, verb = "sales/take_for.html", "take_along"
    box: Box | None = None

    def find_subject(self) -> None:
        super().find_subject()
        typed = self.request.GET.get("box", "")
        self.box = get_object_or_404(Box.objects.on_shelves(), pk=int(typed)) if typed.isdecimal() else None

    def form_given(self) -> dict[str, Any]:
        self.rows = lines_to_take(self.subject, today(), self.box)
        return {"rows": self.rows}

    def context(self) -> dict[str, Any]:
        lines = [one.what for one in self.rows if one.needed]
        boxes = boxes_to_take_from() if self.box is None else []
        return {"box": self.box, "boxes": boxes, "cautions": cautions_for(lines) if lines else []}

    def act(self, form: TakeBunchesForm, **common: Any) -> Job | Workshop:
        return actions.take_along(
            work=self.subject, on=form.cleaned_data["on"], bunches=form.taken(), box=self.box, **common
        )


class TakeForJob(TakeFor):
    """Take bunches for a job."""

    subject_model = Job


class TakeForWorkshop(TakeFor):
    """Take bunches for a workshop."""

    subject_model = Workshop


class TakeStemsFor(Verb):
    """Take fresh stems along."""

    form_class, title, may = TakeForm, _("Take fresh stems for it"), "packing"
    button, done, template_name, verb = _("Taken"), _("Taken."), "sales/take_for.html", "take_along"

    def form_given(self) -> dict[str, Any]:
        return {"rows": lots_to_take(self.subject, today())}

    def context(self) -> dict[str, Any]:
        return {"fresh": True}

    def act(self, form: TakeForm, **common: Any) -> Job | Workshop:
        return actions.take_along(work=self.subject, on=form.cleaned_data["on"], stems=form.taken(), **common)


class TakeStemsForJob(TakeStemsFor):
    """Take fresh stems for a job."""

    subject_model = Job


class TakeStemsForWorkshop(TakeStemsFor):
    """Take fresh stems for a workshop."""

    subject_model = Workshop


class BackFor(Verb):
    """What came back, all in one step."""

    form_class, title, may = BackForm, _("Put back what came back"), "packing"
    button, done, template_name, verb = _("Put it back"), _("Put back."), "sales/back_for.html", "bring_back_from"

    def form_given(self) -> dict[str, Any]:
        return {"out": still_out_of(self.subject)}

    def act(self, form: BackForm, **common: Any) -> Job | Workshop:
        given = form.cleaned_data
        return actions.bring_back_from(work=self.subject, on=given["on"], box=given["box"], **form.back(), **common)


class BackForJob(BackFor):
    """What came back from a job."""

    subject_model = Job


class BackForWorkshop(BackFor):
    """What came back from a workshop."""

    subject_model = Workshop


class BackOfTaken(Verb):
    """What came back of one taking: bunches into a box, fresh stems into water."""

    form_class: type[VerbForm] = BunchesBackForm
    title, may, button, done = _("Put back what came back"), "packing", _("Put it back"), _("Put back.")
    verb = "bring_bunches_back"

    def find_subject(self) -> None:
        names = ("job", "workshop", "line__variety__species", "parting__lot__planting__variety__species")
        self.subject = get_object_or_404(Taken.objects.select_related(*names), pk=self.given["pk"])
        if self.subject.parting_id is not None:
            self.form_class, self.verb = StemsBackForm, "bring_stems_back"
            self.intro = _("They are in water again, as if they had never been taken.")

    def initial(self) -> dict[str, Any]:
        """All that is still out, into the box the last of it was taken from."""
        if self.subject.parting_id is not None:
            return {"stems": self.subject.quantity, **super().initial()}
        last = self.subject.rows.order_by("-pk").values_list("movement__box", flat=True).first()
        return {"bunches": bunches_out(self.subject) or None, "box": last, **super().initial()}

    def act(self, form: VerbForm, **common: Any) -> Any:
        bring = actions.bring_stems_back if self.subject.parting_id is not None else actions.bring_bunches_back
        return bring(taken=self.subject, **form.given(), **common)


class UndoTaken(Undo):
    """Undo a taking."""

    subject_model, may, fact_name = Taken, "packing", "taken"
    undoing = staticmethod(actions.undo_taken)


class UndoCameBack(Undo):
    """Undo a coming back."""

    subject_model, may, fact_name = CameBack, "packing", "came_back"
    undoing = staticmethod(actions.undo_came_back)
