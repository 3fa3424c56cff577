"""Pages of what happens to a planting while it stands."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Undo, Verb
from ledger.facts.queries import holding, today
from ledger.reckoning.years import season_of

from .. import actions
from ..forms import ClearForm, ClearPartForm, CutOverForm, DivideForm, DumpForm, LifeForm, PlantOutForm
from ..models import (
    Clearing,
    CutOver,
    Division,
    Life,
    PartCleared,
    PlantedOut,
    Planting,
    SeedlingsDumped,
)
from ..queries import areas_of, life_on, plants_left


class OfPlanting(Verb):
    """Something done to the planting named in the address."""

    subject_model, may = Planting, "field"

    def then(self, result: Any) -> str:
        return self.subject.get_absolute_url()


class PlantOut(OfPlanting):
    """Set plants out in a bed."""

    form_class, title, button = PlantOutForm, _("Plant it out"), _("Planted out")
    intro = _("It holds the bed from that day on. Plant out in several beds by entering each.")

    def initial(self) -> dict[str, Any]:
        return {"plants": plants_left(self.subject) or None, **super().initial()}

    def act(self, form: PlantOutForm, **common: Any) -> PlantedOut:
        return actions.plant_out(planting=self.subject, **form.given(), **common)


class DumpSeedlings(OfPlanting):
    """Throw spare seedlings away."""

    form_class, title, button = DumpForm, _("Throw spare plants away"), _("Thrown away")
    intro = _("Those that were set out bear what all of them cost.")

    def initial(self) -> dict[str, Any]:
        return {"plants": plants_left(self.subject) or None, **super().initial()}

    def act(self, form: DumpForm, **common: Any) -> SeedlingsDumped:
        return actions.dump_seedlings(planting=self.subject, **form.given(), **common)


class ClearPart(OfPlanting):
    """Clear part of a bed."""

    form_class, title, button = ClearPartForm, _("Clear part of it"), _("Cleared")
    intro = _("That part of the bed is free from that day on; the rest stands on.")

    def form_given(self) -> dict[str, Any]:
        return {"planting": self.subject}

    def initial(self) -> dict[str, Any]:
        """Half of what it holds, where it holds one bed."""
        held = [m2 for m2 in areas_of(self.subject, today()).values() if m2 > 0]
        half = {"area_m2": f"{held[0] / 2:.2f}"} if len(held) == 1 else {}
        return {**half, **super().initial()}

    def act(self, form: ClearPartForm, **common: Any) -> PartCleared:
        return actions.clear_part(planting=self.subject, **form.given(), **common)


class Clear(OfPlanting):
    """Clear a planting from its beds."""

    form_class, title, button = ClearForm, _("Clear it"), _("Cleared")
    intro = _("It holds its bed up to, not including, that day; its cost to the stem is final from then on.")

    def form(self, sent: Any = None) -> Any:
        """The form; what was cut of cannot have failed."""
        shown = super().form(sent)
        if self.subject.lots.standing().exists():
            del shown.fields["failed"]
        return shown

    def context(self) -> dict[str, Any]:
        left = _("Cleared before its productive seasons are over, what is left of its establishing is a cost of the year.")
        return {"intro": f"{self.intro} {left}"} if self.subject.perennial else {}

    def act(self, form: ClearForm, **common: Any) -> Clearing:
        return actions.clear(planting=self.subject, **form.given(), **common)


class CutOverPage(OfPlanting):
    """Cut a perennial over."""

    form_class, title, button = CutOverForm, _("Cut it over"), _("Cut over")
    intro = _("Work on it from that day on is for the next season.")

    def act(self, form: CutOverForm, **common: Any) -> CutOver:
        return actions.cut_over(planting=self.subject, **form.given(), **common)


class EstimateLife(OfPlanting):
    """Estimate a perennial's life anew."""

    form_class, title = LifeForm, _("Estimate its life anew")

    def initial(self) -> dict[str, Any]:
        return {"productive_seasons": life_on(self.subject, today()), **super().initial()}

    def act(self, form: LifeForm, **common: Any) -> Life:
        return actions.estimate_life(planting=self.subject, **form.given(), **common)


class Divide(OfPlanting):
    """Divide a perennial."""

    form_class, title, button = DivideForm, _("Divide it"), _("Divided")
    intro = _("The parts become a planting of their own, and take their share of what is left in the plants along.")

    def initial(self) -> dict[str, Any]:
        season = season_of(today(), first_month=holding().season_first_month) + 1
        like = {"season": season, "productive_seasons": life_on(self.subject, today())}
        return {**like, **super().initial()}

    def act(self, form: DivideForm, **common: Any) -> Division:
        return actions.divide(planting=self.subject, **form.given(), **common)

    def then(self, result: Division) -> str:
        return result.daughter.get_absolute_url()


class UndoPlantedOut(Undo):
    """Undo a planting out."""

    subject_model, may, fact_name = PlantedOut, "field", "planted_out"
    undoing = actions.undo_planted_out


class UndoSeedlingsDumped(Undo):
    """Undo that spare plants were thrown away."""

    subject_model, may, fact_name = SeedlingsDumped, "field", "seedlings_dumped"
    undoing = actions.undo_seedlings_dumped


class UndoPartCleared(Undo):
    """Undo a clearing of part of a bed."""

    subject_model, may, fact_name = PartCleared, "field", "part_cleared"
    undoing = actions.undo_part_cleared


class UndoClearing(Undo):
    """Undo a clearing."""

    subject_model, may, fact_name = Clearing, "field", "clearing"
    undoing = actions.undo_clearing


class UndoCutOver(Undo):
    """Undo that a perennial was cut over."""

    subject_model, may, fact_name = CutOver, "field", "cut_over"
    undoing = actions.undo_cut_over


class UndoLife(Undo):
    """Undo an estimate of a perennial's life."""

    subject_model, may, fact_name = Life, "field", "life"
    undoing = actions.undo_life


class UndoDivision(Undo):
    """Undo a division, with the planting it made."""

    subject_model, may, fact_name = Division, "field", "division"
    undoing = actions.undo_division
