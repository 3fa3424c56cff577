"""What weighed stems should weigh dry, and how much water they still hold."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ledger.reckoning.shrinkage import dry_weight_g, moisture_left
from ledger.reckoning.taking import proportion

from ..models import Hanging, TakingDown


@dataclass(frozen=True)
class Dried:
    """Sound stems of a hanging that were weighed: `fresh_g` their part of the weighed lot, `dried_g` now.

    `expected_g` and `water_bp`, in hundredths of a per cent of the weight, are
    None where nobody entered the species' water.
    """

    fresh_g: int
    dried_g: int
    expected_g: int | None
    water_bp: int | None


def dried_weight(hanging: Hanging, takings: Iterable[TakingDown]) -> Dried | None:
    """How the weighed stems of a hanging dried; None where the lot or the stems were not weighed."""
    lot = hanging.parting.lot
    weighed = [one for one in takings if one.dried_g]
    dried, sound = sum(one.dried_g or 0 for one in weighed), sum(one.sound for one in weighed)
    if not lot.fresh_g or not sound:
        return None
    fresh = proportion(lot.fresh_g, sound, lot.stems)
    species = lot.planting.variety.species
    wet, dry = species.fresh_moisture_bp, species.dry_moisture_bp
    if wet is None or dry is None or not fresh:
        return Dried(fresh, dried, None, None)
    return Dried(
        fresh, dried, dry_weight_g(fresh, fresh_moisture_bp=wet, dry_moisture_bp=dry),
        moisture_left(fresh, dried, fresh_moisture_bp=wet),
    )
