"""Pages of the stock book: its rows, moving, drawing, writing off, undoing."""

from __future__ import annotations

from typing import Any

from django.db.models import F
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.stock import actions
from ledger.stock.filters import MovementFilter
from ledger.stock.forms import DrawForm, MoveForm, TakeBackForm, TakeOutForm
from ledger.stock.models import Box, Content, Movement
from ledger.stock.queries import left_short_by, pair_of, still_out
from ledger.stock.tables import MovementTable

from .ahead import belongs_to

ALONE = {Movement.Kind.MOVED, Movement.Kind.DRAWN, Movement.Kind.WRITTEN_OFF, Movement.Kind.RETURNED}


class Movements(ListPage):
    """Every movement of bunches."""

    model = Movement
    table_class, filterset_class = MovementTable, MovementFilter
    title = _("The stock book")

    def get_queryset(self) -> Any:
        return Movement.objects.standing().leaf().order_by("-on", "-pk")

    def links(self) -> list[Link]:
        return [
            Link(_("Move"), reverse("stock:move"), "boxes"),
            Link(_("Draw"), reverse("stock:draw"), "boxes"),
            Link(_("Write off"), reverse("stock:write_off"), "boxes"),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="stock/movement.html#row", **given)


def movement(request: HttpRequest, pk: int) -> HttpResponse:
    """One row of the stock book and the rows that belong to it."""
    rows = Movement.objects.whole().select_related("brings_back", "run", "count_line__count", "repacked_row__repacking")
    movement = get_object_or_404(rows, pk=pk)
    undo = Link(_("Undo this"), reverse("stock:undo_movement", args=[movement.pk]), "boxes")
    repacked = movement.repacked_row.repacking if hasattr(movement, "repacked_row") else None
    taken_by = movement.run or repacked or belongs_to(movement)
    alone = movement.stands and movement.kind in ALONE and not taken_by and not hasattr(movement, "count_line")
    out = still_out(movement) if movement.stands and movement.kind == Movement.Kind.DRAWN else 0
    back = [Link(_("Bring some back"), reverse("stock:take_back", args=[movement.pk]), "boxes")] if out and not taken_by else []
    context = {
        "movement": movement, "links": links_for(request.user, *back, *([undo] if alone else [])),
        "other": pair_of(movement) if movement.kind == Movement.Kind.MOVED else None,
        "taken_by": taken_by,
        "came_back": movement.brought_back_by.standing().order_by("on", "pk"),
        "count": movement.count_line.count if hasattr(movement, "count_line") else None,
    }
    return render(request, "stock/movement.html", context)


class FromContent(Verb):
    """A verb on what lies somewhere; `?box=`, `?batch=` narrow what is offered, `?target=` leaves that box out."""

    may = "boxes"

    def form_given(self) -> dict[str, Any]:
        places = Content.objects.there().out_of_parcels()
        for name in ("box", "batch"):
            if self._asked(name):
                places = places.filter(**{name: self._asked(name)})
        if self._asked("target"):
            unboxed_first = (F("box__shelf").asc(nulls_first=True), "box__code", "batch__on", "pk")
            places = places.exclude(box=self._asked("target")).order_by(*unboxed_first)
        return {"places": places}

    def _asked(self, name: str) -> int | None:
        typed = self.request.GET.get(name, "")
        return int(typed) if typed.isdecimal() else None

    def then(self, result: Any) -> str:
        """Back to the box or batch it began from, else to the row."""
        box, batch = self._asked("box") or self._asked("target"), self._asked("batch")
        if box:
            return reverse("stock:box", args=[box])
        return reverse("stock:batch", args=[batch]) if batch else result.get_absolute_url()


class Move(FromContent):
    """Move bunches into a box, out of one (`?way=out`), or from one to another (`?way=move`)."""

    form_class, title, button = MoveForm, _("Move bunches"), _("Move them")

    def form_given(self) -> dict[str, Any]:
        return {**super().form_given(), "way": self.request.GET.get("way", "")}

    def context(self) -> dict[str, Any]:
        into = Box.objects.on_shelves().filter(pk=self._asked("target")).first() if self._asked("target") else None
        if into is not None:
            intro = _("What is not yet boxed comes first, then what lies in other boxes, shelf by shelf.")
            return {"title": _("Put into box %(code)s") % {"code": into.code}, "button": _("Put them in"), "intro": intro}
        if self.request.GET.get("way") != "out":
            return {}
        out = _("They are not yet boxed then. To put them straight into another box, move them.")
        return {"title": _("Take out of the box"), "button": _("Take them out"), "intro": out}

    def act(self, form: MoveForm, **common: Any) -> Any:
        return actions.move(**form.given(), **common)

    def say(self, result: Any) -> Any:
        if not result:
            return self.done
        row = result[-1]
        into = row.box.code if row.box else _("no box: not yet boxed")
        return _("%(bunches)d × %(what)s: now in %(into)s.") % {"bunches": row.bunches, "what": row.batch.line, "into": into}

    def then(self, result: Any) -> str:
        if result:
            return super().then(result[0])
        return reverse("stock:movements")


class Leaving(FromContent):
    """Bunches that leave without being sold; what was promised of them is said."""

    def say(self, result: Any) -> Any:
        short = -sum(change.bunches for change in left_short_by([result], result.batch.line_id))
        if not short:
            return self.done
        words = ngettext(
            "Recorded. %(n)d of them was promised: <a href=\"%(url)s\">a promise is short now</a>.",
            "Recorded. %(n)d of them were promised: <a href=\"%(url)s\">promises are short now</a>.", short,
        )
        return mark_safe(words % {"n": short, "url": f"{reverse('stock:holds')}?state=short&line={result.batch.line_id}"})


class Draw(Leaving):
    """Draw bunches that will never be sold."""

    form_class, title, button = DrawForm, _("Draw"), _("Draw them")
    intro = _("For display, a sample, a gift or home use: taken and never sold.")

    def act(self, form: DrawForm, **common: Any) -> Movement:
        return actions.draw(**form.given(), **common)


class WriteOff(Leaving):
    """Write bunches off."""

    form_class, title, button = TakeOutForm, _("Write off"), _("Write them off")
    intro = _("Spoiled, crushed, eaten. If some were promised, the latest promises are marked short.")

    def act(self, form: TakeOutForm, **common: Any) -> Movement:
        return actions.write_off(**form.given(), **common)


class TakeBack(Verb):
    """Put back what was drawn and is not needed any longer: a display taken down, a sample returned."""

    form_class, title, may, button = TakeBackForm, _("Bring some back"), "boxes", _("They are back")
    subject_model = Movement
    intro = _("Into a box, or not yet boxed. They bring back their own cost.")

    def find_subject(self) -> None:
        super().find_subject()
        if self.subject.kind != Movement.Kind.DRAWN:
            raise Http404

    def initial(self) -> dict[str, Any]:
        box = self.subject.box
        return {"bunches": still_out(self.subject) or None, "box": box if box and not box.parcel else None, **super().initial()}

    def act(self, form: TakeBackForm, **common: Any) -> Movement:
        return actions.take_back(movement=self.subject, **form.given(), **common)


class UndoMovement(Undo):
    """Undo a row of the stock book with the rows that belong to it."""

    subject_model, may, fact_name = Movement, "boxes", "movement"
    undoing = actions.undo_movement
