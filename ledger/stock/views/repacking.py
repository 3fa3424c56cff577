"""Pages of boxes split, put together and emptied."""

from __future__ import annotations

from typing import Any

from django.urls import reverse
from django.utils.html import format_html
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import VerbForm
from ledger.facts.pages import Undo, Verb
from ledger.stock import actions
from ledger.stock.forms import PutTogetherForm, SplitBoxForm
from ledger.stock.models import Box, Content, Repacking


class SplitBox(Verb):
    """Put some of what is in a box into another one."""

    form_class, title, may, button = SplitBoxForm, _("Split it"), "boxes", _("Split it")
    intro = _("So many of each batch go into another box, or into a new one with an id of its own.")
    subject_model = Box

    def form_given(self) -> dict[str, Any]:
        return {"box": self.subject, "contents": Content.objects.there().filter(box=self.subject)}

    def say(self, result: Repacking) -> Any:
        into = result.goes_to
        if into is None:
            return self.done
        return format_html(
            gettext('Split: <a href="{}">box {}</a> has the other part. <a href="{}">Its label</a>.'),
            into.get_absolute_url(), into.code, reverse("stock:label", args=[into.pk]),
        )

    def act(self, form: SplitBoxForm, **common: Any) -> Repacking:
        given = form.given()
        more = {name: given[name] for name in ("on", "target", "shelf")}
        return actions.split_box(box=self.subject, bunches=form.bunches(), **more, **common)


class PutTogether(Verb):
    """Put everything from a box into another one."""

    form_class, title, may, button = PutTogetherForm, _("Put it together with another"), "boxes", _("Put it all in")
    intro = _("This box is empty afterwards and can be used again; what it held stays on its page.")
    subject_model = Box

    def form_given(self) -> dict[str, Any]:
        return {"box": self.subject}

    def act(self, form: PutTogetherForm, **common: Any) -> Repacking:
        return actions.put_together(box=self.subject, **form.given(), **common)


class EmptyBox(Verb):
    """Take everything out of a box."""

    form_class, title, may, button = VerbForm, _("Empty it"), "boxes", _("Empty it")
    intro = _("All of it is not yet boxed then; nothing is written off. The box can be used again.")
    subject_model = Box

    def act(self, form: VerbForm, **common: Any) -> Repacking:
        return actions.empty_box(box=self.subject, **form.given(), **common)


class UndoRepacking(Undo):
    """Undo a box split, put together or emptied."""

    subject_model, may, fact_name = Repacking, "boxes", "repacking"
    undoing = actions.undo_repacking
