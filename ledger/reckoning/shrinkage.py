"""Water leaving: weight lost in drying, which is no loss of stems.

Moistures are basis points on the wet basis: water over the whole weight.
"""

from ledger.reckoning.sharing import MILLION
from ledger.reckoning.taking import proportion

WHOLE_BP = 10_000


def dry_weight_g(fresh_g: int, *, fresh_moisture_bp: int, dry_moisture_bp: int) -> int:
    """Return fresh x (1 - Mf) / (1 - Md) in whole grams, halves up.

    Raises ValueError for a negative weight, a moisture that is no share, and
    dry stuff wetter than fresh.

    >>> dry_weight_g(1000, fresh_moisture_bp=8000, dry_moisture_bp=1000)
    222
    """
    if fresh_g < 0:
        raise ValueError(f"nothing weighs {fresh_g} grams")
    _check(fresh_moisture_bp, dry_moisture_bp)
    return proportion(fresh_g, WHOLE_BP - fresh_moisture_bp, WHOLE_BP - dry_moisture_bp)


def drying_ratio(*, fresh_moisture_bp: int, dry_moisture_bp: int) -> int:
    """Return how much fresh makes one of dry, (1 - Md) / (1 - Mf), in millionths.

    Halves up. Raises ValueError as `dry_weight_g` does.

    >>> drying_ratio(fresh_moisture_bp=8000, dry_moisture_bp=1000)
    4500000
    """
    _check(fresh_moisture_bp, dry_moisture_bp)
    return proportion(MILLION, WHOLE_BP - dry_moisture_bp, WHOLE_BP - fresh_moisture_bp)


def moisture_left(fresh_g: int, dried_g: int, *, fresh_moisture_bp: int) -> int:
    """Return the water still in what weighed `fresh_g` fresh and weighs `dried_g` now, in basis points of its weight.

    1 - fresh x (1 - Mf) / dried, halves up; nil where it weighs less than its dry matter, which a rough
    moisture or scale allows. Raises ValueError for a weight of nothing and a moisture that is no share.

    >>> moisture_left(1000, 250, fresh_moisture_bp=8000)
    2000
    """
    if fresh_g <= 0 or dried_g <= 0:
        raise ValueError(f"nothing can be said of {fresh_g} g fresh and {dried_g} g dried")
    _check(fresh_moisture_bp, 0)
    return max(0, WHOLE_BP - proportion(fresh_g, WHOLE_BP - fresh_moisture_bp, dried_g))


def _check(fresh_moisture_bp: int, dry_moisture_bp: int) -> None:
    if not 0 <= dry_moisture_bp <= fresh_moisture_bp < WHOLE_BP:
        raise ValueError(f"moisture cannot go from {fresh_moisture_bp} to {dry_moisture_bp} of {WHOLE_BP}")
