"""Loss in drying: borne by the sound stems, or written off as a disaster.

Stems are whole numbers, money millionths, norms basis points of stems hung.
Water leaving is drying and no loss (see `shrinkage`).
"""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.reckoning.taking import proportion

WHOLE_BP = 10_000


def hanging_release(
    carried: int, *, hung: int, sound: int, lost: int, norm_bp: int, disaster: bool, scrap: int = 0
) -> tuple[int, int, int]:
    """Return what sound stems bear so far, what is written off, and what still hangs.

    The three and the scrap value of oddments kept (at most `carried`) add up
    to `carried`. Loss is borne by the sound stems; while stems are up they
    bear their part of the sound ones expected. In a marked disaster a stem
    bears carried / (hung x (1 - norm)), the scrap of the normal loss taken off
    first, and the rest less its own scrap is written off when all are down. A
    hanging that does better than its norm writes nothing off and books no
    gain. With no stem sound at the end all is written off. Raises ValueError
    when counts do not fit or scrap comes without loss.

    >>> hanging_release(9000, hung=100, sound=80, lost=20, norm_bp=1000, disaster=True)
    (8000, 1000, 0)
    """
    _check(hung, sound, lost, norm_bp, scrap)
    scrap = min(scrap, carried)
    to_part = carried - scrap
    up = hung - sound - lost
    borne = 0
    if sound:
        bearing = sound * WHOLE_BP + up * (WHOLE_BP - norm_bp)
        cost = to_part
        if disaster:
            bearing = max(bearing, hung * (WHOLE_BP - norm_bp))
            cost = carried - _normal_scrap(scrap, hung, lost, norm_bp)
        borne = min(to_part, proportion(cost, sound * WHOLE_BP, bearing))
    rest = to_part - borne
    return (borne, 0, rest) if up else (borne, rest, 0)


def _check(hung: int, sound: int, lost: int, norm_bp: int, scrap: int) -> None:
    if min(sound, lost) < 0 or sound + lost > hung:
        raise ValueError(f"{sound} sound and {lost} lost do not come from {hung} hung")
    _check_norm(norm_bp)
    if scrap < 0 or (scrap and not lost):
        raise ValueError(f"no loss leaves oddments worth {scrap}")


def _check_norm(norm_bp: int) -> None:
    if not 0 <= norm_bp <= WHOLE_BP:
        raise ValueError(f"a norm of {norm_bp} is no share of the stems hung")


def _normal_scrap(scrap: int, hung: int, lost: int, norm_bp: int) -> int:
    """Return the part of the scrap that comes from loss within the norm."""
    if not scrap:
        return 0
    return proportion(scrap, min(lost * WHOLE_BP, hung * norm_bp), lost * WHOLE_BP)


def proposed_disaster(hung: int, lost: int, norm_bp: int, *, times_bp: int = 20_000, beyond_bp: int = 1_000) -> bool:
    """Say whether a hanging lost so far more than its norm that it may be a disaster.

    Only when it lost more than `times_bp` of the norm (twice, unless the
    holding says otherwise) and at least `beyond_bp` of the stems hung (ten in
    a hundred) above it. The grower decides.

    >>> proposed_disaster(100, 20, 500), proposed_disaster(100, 20, 1000)
    (True, False)
    """
    by_times = lost * WHOLE_BP * WHOLE_BP > hung * norm_bp * times_bp
    by_share = lost * WHOLE_BP >= hung * (norm_bp + beyond_bp)
    return by_times and by_share


def learnt_norm(hangings: Sequence[tuple[int, int]]) -> int | None:
    """Return what hangings, as (hung, lost), teach: all lost over all hung in basis points, halves up.

    Below the whole, since a norm must leave something to bear the cost. None
    where nothing hung.

    >>> learnt_norm([(100, 5), (300, 27)])
    800
    """
    hung, lost = sum(stems for stems, _ in hangings), sum(gone for _, gone in hangings)
    return min(proportion(lost, WHOLE_BP, hung), WHOLE_BP - 1) if hung else None


def expected_sound(hung: int, norm_bp: int) -> int:
    """Return how many of the stems hung should come down sound, halves up.

    Raises ValueError for a norm that is no share.
    """
    _check_norm(norm_bp)
    return proportion(hung, WHOLE_BP - norm_bp, WHOLE_BP)


@dataclass(frozen=True)
class ProcessLoss:
    """The account a textbook draws up of one process.

    `abnormal` counts units lost beyond the normal loss, negative for a gain;
    `good_value` and `abnormal_value` are at the unit cost; `net_charge` is the
    abnormal loss less its scrap, negative for a gain.
    """

    unit_cost: int
    good_value: int
    abnormal: int
    abnormal_value: int
    net_charge: int
    scrap_credit: int


def process_loss(cost: int, *, put_in: int, normal_loss: int, good: int, scrap_per_unit: int = 0) -> ProcessLoss:
    """Return the textbook figures: unit cost = (cost - normal scrap) / (input - normal loss).

    For comparing with published answers. It books a gain where less was lost
    than is normal, which `hanging_release` never does: stock may not exceed
    what was spent. Halves up; good and abnormal value add up to cost less
    normal scrap. Raises ValueError when the normal loss is the whole input.
    """
    scrap_credit = scrap_per_unit * normal_loss
    shared, units = cost - scrap_credit, put_in - normal_loss
    good_value = proportion(shared, good, units)
    abnormal = units - good
    return ProcessLoss(
        unit_cost=proportion(shared, 1, units),
        good_value=good_value,
        abnormal=abnormal,
        abnormal_value=shared - good_value,
        net_charge=shared - good_value - scrap_per_unit * abnormal,
        scrap_credit=scrap_credit,
    )
