"""The page of a week's hours."""

from __future__ import annotations

from typing import Any

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Verb

from .. import actions
from ..forms.week import WeekForm
from ..models import WorkEntry, Worker
from ..queries import Week, week_of
from .records import AskAgain, as_before

LINES_TO_BEGIN_WITH = 3


class NoteWeek(AskAgain, Verb):
    """Note a week's hours on one sheet, beside what is noted already and what was paid."""

    form_class, title, may, button = WeekForm, _("A week's hours"), "work", _("Note the week")
    template_name = "daybook/note_week.html"

    def initial(self) -> dict[str, Any]:
        return {**as_before(self.request.user), **super().initial()}

    def form_given(self) -> dict[str, Any]:
        typed = self.request.POST.get("lines", "")
        lines = max(int(typed), 1) if typed.isdecimal() else LINES_TO_BEGIN_WITH
        return {"lines": lines + 1 if "more" in self.request.POST else lines}

    def act(self, form: WeekForm, **common: Any) -> list[WorkEntry]:
        given = form.cleaned_data
        return actions.note_week(worker=given["worker"], hours=given["hours"], **common)

    def then(self, result: Any) -> str:
        sent = self.request.POST
        return f"{reverse('daybook:note_week')}?worker={sent.get('worker', '')}&on={sent.get('on', '')}"

    def show(self, form: Any, status: int = 200) -> Any:
        self.week = self._week(form)
        return super().show(form, status)

    def _week(self, form: WeekForm) -> Week | None:
        number = str(form["worker"].value() or "")
        worker = Worker.objects.filter(pk=number).first() if number.isdecimal() and len(number) < 19 else None
        return week_of(worker, form.days()[0]) if worker else None

    def context(self) -> dict[str, Any]:
        return {"week": self.week}
