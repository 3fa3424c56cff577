"""A cutting round: many beds entered as one sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.rows import of_row
from ledger.facts.writing import action, check_day, refusal

from ..models import Lot, Planting
from .lots import cut

ROW_FIELDS = ("stems", "bundles", "per_bundle", "stage", "fresh_g", "sample_g")


@dataclass(frozen=True)
class CutRow:
    """What was cut of one planting, by stems, by bundles of so many or by weight; `dry`: it needs no hanging."""

    planting: Planting
    stage: str
    stems: int | None = None
    bundles: int | None = None
    per_bundle: int | None = None
    about: bool = False
    dry: bool = False
    fresh_g: int | None = None
    sample_stems: int | None = None
    sample_g: int | None = None


@action("field")
def cut_round(*, by: User, on: date, rows: Sequence[CutRow]) -> list[Lot]:
    """Record one day's cutting through the beds, all of it or nothing.

    A refusal names its row: the field at fault with the planting's key, such as
    `stems_12`. Plantings are held in the order of their keys.
    """
    check_day(on)
    if not rows:
        raise refusal(None, _("Nothing is filled in: enter what was cut of one planting at least."), code="empty")
    lots, refused = [], {}
    for row in sorted(rows, key=lambda row: row.planting.pk):
        try:
            lots.append(_cut_row(by, on, row))
        except ValidationError as error:
            refused.update(of_row(error, row.planting.pk, fields=ROW_FIELDS))
    if refused:
        raise ValidationError(refused)
    return lots


def _cut_row(by: User, on: date, row: CutRow) -> Lot:
    return cut(
        by=by, planting=row.planting, on=on, stage=row.stage, stems=row.stems, bundles=row.bundles,
        per_bundle=row.per_bundle, about=row.about, dry=row.dry, fresh_g=row.fresh_g,
        sample_stems=row.sample_stems, sample_g=row.sample_g,
    )
