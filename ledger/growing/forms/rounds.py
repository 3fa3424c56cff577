"""The sheet of a cutting round, bed by bed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from django.core.exceptions import ValidationError
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from ledger.facts.ruled import SheetForm

from ..actions import CutRow
from ..models import Lot, Planting

Labelled = list[tuple[Any, BoundField]]


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
        self.number(f"fresh_g_{key}", _("%(what)s: all of it weighs (g)") % what)
        self.number(f"sample_stems_{key}", _("%(what)s: stems of a sample") % what)
        self.number(f"sample_g_{key}", _("%(what)s: the sample weighs (g)") % what)
        self.tick(f"about_{key}", _("%(what)s: about so many, not counted") % what)
        self.tick(f"dry_{key}", _("%(what)s: came in dry") % what)
        stages = [("", "–"), *Lot.Stage.choices]
        self.choice(f"stage_{key}", _("%(what)s: stage when cut") % what, stages, initial=planting.last_stage)

    def beds(self) -> Iterator[tuple[Planting, Labelled, Labelled, bool]]:
        """Each planting with its labelled fields, those for what was weighed, and whether anything stands there."""
        counted = {
            "n": _("Stems"), "bundles": _("or bundles"), "per_bundle": _("of so many"), "stage": _("Stage"), "about": _("about"),
            "dry": _("dry"),
        }
        weighed = {"fresh_g": _("All (g)"), "sample_stems": _("Sample: stems"), "sample_g": _("Sample (g)")}
        for planting in self.plantings:
            weights = [(word, self[f"{name}_{planting.pk}"]) for name, word in weighed.items()]
            opened = any(field.errors or field.value() for _word, field in weights)
            yield planting, [(word, self[f"{name}_{planting.pk}"]) for name, word in counted.items()], weights, opened

    def clean(self) -> dict[str, Any]:
        """Refuse a row that says how it was cut or what a sample weighed, and not how much there was."""
        given = super().clean()
        for planting in self.plantings:
            said = [given.get(f"{name}_{planting.pk}") for name in ("about", "dry", "sample_stems", "sample_g")]
            if any(said) and not any(given.get(f"{name}_{planting.pk}") for name in ("n", "bundles", "fresh_g")):
                self.add_error(f"n_{planting.pk}", ValidationError(_("Say how much was cut."), code="no_count"))
        return given

    def rows(self) -> list[CutRow]:
        """The rows filled in; a bundle's size alone fills none."""
        rows = [self._row(planting) for planting in self.plantings]
        return [row for row in rows if row.stems or row.bundles or row.fresh_g]

    def _row(self, planting: Planting) -> CutRow:
        def number(name: str) -> int | None:
            return self.cleaned_data[f"{name}_{planting.pk}"] or None

        bundles = number("bundles")
        return CutRow(
            planting=planting, stage=self.cleaned_data[f"stage_{planting.pk}"], stems=number("n"), bundles=bundles,
            per_bundle=number("per_bundle") if bundles else None, about=self.cleaned_data[f"about_{planting.pk}"],
            dry=self.cleaned_data[f"dry_{planting.pk}"], fresh_g=number("fresh_g"), sample_stems=number("sample_stems"),
            sample_g=number("sample_g"),
        )
