"""Pages of a job's pieces: entered on one page with their parts, a price reckoned, recipes copied."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.functional import cached_property
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import Material
from ledger.facts.pages import Undo, Verb
from ledger.facts.queries import today
from ledger.growing.models import Variety
from ledger.reckoning.sharing import to_minor
from ledger.sales import actions
from ledger.sales.forms.pieces import CopyForm, PieceForm, typed
from ledger.sales.models import Job, JobPiece
from ledger.sales.queries.job_sheet import PieceSheet, piece_sheet
from ledger.sales.queries.recipes import parts_of_piece, parts_of_recipe
from ledger.stock.models import Line, Recipe

ASKED_AGAIN = {"more", "reckon"}


class PiecePage(Verb):
    """A piece with its parts; shown again, what was typed kept, for more rows or for a price reckoned."""

    form_class, may, template_name = PieceForm, "selling", "sales/job_piece.html"
    sheet: PieceSheet | None = None

    @cached_property
    def job(self) -> Job:
        """The job it is a piece of."""
        raise NotImplementedError

    def form_given(self) -> dict[str, Any]:
        return {
            "lines": list(Line.objects.whole()), "varieties": list(Variety.objects.select_related("species")),
            "materials": list(Material.objects.filter(by_count=False)), "with_tax": self.job.way.with_tax,
        }

    def post(self, request: HttpRequest, *args: Any, **given: Any) -> HttpResponse:
        if not ASKED_AGAIN & set(request.POST):
            return super().post(request, *args, **given)
        self.find_subject()
        said = {name: value for name, value in request.POST.items() if name != "form_key"}
        if "reckon" in said and request.user.may("see_costs"):  # type: ignore[union-attr]
            self.reckon(PieceForm(request.POST, initial=self.initial(), **self.form_given()), said)
        return self.show(self.form_class(initial=said, **self.form_given()))

    def reckon(self, sent: PieceForm, said: dict[str, Any]) -> None:
        """Reckon what one costs from what was typed, and a price where none was."""
        sent.is_valid()
        given = sent.cleaned_data
        parts = sent.parts() if not sent.errors.keys() - {"name", "price"} else []
        self.sheet = piece_sheet(self.job, parts, given.get("minutes") or 0, today(), price=given.get("price"))
        if not said.get("price") and self.sheet.proposed is not None:
            said["price"] = self.sheet.proposed

    def context(self) -> dict[str, Any]:
        sheet = self.sheet
        if sheet is None:
            return {"job": self.job}
        parts = [(one, None if one.amount is None else to_minor(one.amount)) for one in sheet.parts]
        cost = None if sheet.cost is None else to_minor(sheet.cost)
        return {"job": self.job, "sheet": sheet, "parts": parts, "work": to_minor(sheet.work), "cost": cost}


class AddPiece(PiecePage):
    """Add a piece to a job; `?recipe=` or `?piece=` fills the page in."""

    title, button = _("Add a piece"), _("Add it")
    subject_model = Job

    @cached_property
    def job(self) -> Job:
        return self.subject

    @cached_property
    def copying(self) -> CopyForm:
        """Where it can be filled in from."""
        asked = self.request.GET if {"recipe", "piece"} & set(self.request.GET) else None
        pieces = JobPiece.objects.standing().filter(job__undone_at=None).select_related("job").order_by("-pk")
        recipes = Recipe.objects.in_force(today()).whole().order_by("line__name", "line", "pk")
        return CopyForm(asked, recipes=recipes, pieces=pieces)

    def initial(self) -> dict[str, Any]:
        chosen = self.copying.chosen
        if isinstance(chosen, JobPiece):
            said = {"name": chosen.name, "minutes": chosen.minutes, "note": chosen.note, **typed(parts_of_piece(chosen))}
            return said | ({"price": chosen.price} if chosen.job.way_id == self.job.way_id else {})
        if chosen is not None:
            return {"name": chosen.line.called, **typed(parts_of_recipe(chosen))}
        return super().initial()

    def context(self) -> dict[str, Any]:
        return {**super().context(), "copying": self.copying, "copied": self.copying.chosen}

    def act(self, form: PieceForm, **common: Any) -> JobPiece:
        return actions.add_piece(job=self.job, **form.piece(), **common)


class ChangePiece(PiecePage):
    """Change a piece: it is replaced."""

    title, button, done = _("Change a piece"), _("Change it"), _("Changed.")
    subject_model = JobPiece

    @cached_property
    def job(self) -> Job:
        return self.subject.job

    def find_subject(self) -> None:
        pieces = JobPiece.objects.select_related("job__way", "job__customer")
        self.subject = get_object_or_404(pieces, pk=self.given["pk"])

    def initial(self) -> dict[str, Any]:
        piece = self.subject
        said = {name: getattr(piece, name) for name in ("name", "quantity", "price", "minutes", "note")}
        return {**said, **typed(parts_of_piece(piece))}

    def act(self, form: PieceForm, **common: Any) -> JobPiece:
        return actions.change_piece(piece=self.subject, **form.piece(), **common)


class DropPiece(Undo):
    """Leave a piece out."""

    subject_model, may, fact_name = JobPiece, "selling", "piece"
    undoing, title, button, done = staticmethod(actions.drop_piece), _("Leave a piece out"), _("Leave it out"), _("Left out.")
