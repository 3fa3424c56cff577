"""The sheet of a cutting round, bed by bed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from ledger.facts.ruled import SheetForm

from ..actions import CutRow
from ..models import Lot, Planting


class CutRoundForm(SheetForm):
    """A row for each planting in a bed; the stage and the bundle are like the last time."""

    def __init__(self, *args: Any, plantings: Iterable[Planting], **given: Any) -> None:
        super().__init__(*args, **given)
        self.plantings = list(plantings)
        for planting in self.plantings:
            self._add_row(planting)

    def _add_row(self, planting: Planting) -> None:
        key, what = planting.pk, {"what": planting.variety}
        self.number(f"n_{key}", _("%(what)s: stems") % what)
        self.number(f"bundles_{key}", _("%(what)s: bundles") % what)
        self.number(f"per_bundle_{key}", _("%(what)s: stems to the bundle") % what, initial=planting.last_per_bundle)
        self.tick(f"about_{key}", _("%(what)s: about so many, not counted") % what)
        self.tick(f"dry_{key}", _("%(what)s: came in dry") % what)
        stages = [("", "–"), *Lot.Stage.choices]
        self.choice(f"stage_{key}", _("%(what)s: stage when cut") % what, stages, initial=planting.last_stage)

    def beds(self) -> Iterator[tuple[Planting, list[tuple[Any, BoundField]]]]:
        """Each planting with its labelled fields."""
        words = {
            "n": _("Stems"), "bundles": _("or bundles"), "per_bundle": _("of so many"), "stage": _("Stage"), "about": _("about"),
            "dry": _("dry"),
        }
        for planting in self.plantings:
            yield planting, [(word, self[f"{name}_{planting.pk}"]) for name, word in words.items()]

    def rows(self) -> list[CutRow]:
        """The rows filled in; a bundle's size alone fills none."""
        return [row for planting in self.plantings if (row := self._row(planting)).stems or row.bundles]

    def _row(self, planting: Planting) -> CutRow:
        names = ("n", "bundles", "per_bundle", "stage", "about", "dry")
        given = {name: self.cleaned_data[f"{name}_{planting.pk}"] for name in names}
        bundles = given["bundles"] or None
        return CutRow(
            planting=planting, stage=given["stage"], stems=given["n"] or None, bundles=bundles,
            per_bundle=given["per_bundle"] if bundles else None, about=given["about"], dry=given["dry"],
        )
