"""A price from a cost and a wanted margin, and what margin really results.

Costs in millionths of a minor unit, prices in whole minor units, shares in
basis points. Margin is profit over net price, markup profit over full cost.
"""

from dataclasses import dataclass

from ledger.reckoning.sharing import MILLION
from ledger.reckoning.taking import proportion
from ledger.reckoning.tax import tax_within

WHOLE_BP = 10_000


@dataclass(frozen=True)
class Proposal:
    """A price, and how it comes out.

    `net`, `tax` and `gross` in whole minor units; `exact_net` and
    `exact_gross`, before the price ending, `fees` and `full_cost` in
    millionths. `margin_bp` and `markup_bp` are those of the price itself, and
    `break_even` is the lowest gross price that still covers its full cost.
    """

    net: int
    tax: int
    gross: int
    exact_net: int
    exact_gross: int
    fees: int
    full_cost: int
    margin_bp: int
    markup_bp: int
    break_even: int


def selling_price(
    shelf_cost: int,
    *,
    fixed: int,
    margin_bp: int,
    fee_bp: int,
    tax_bp: int,
    ending: int | None,
    per_major: int = 100,
) -> Proposal:
    """Return the price that leaves the wanted margin, up to the house ending.

    Net = (shelf cost + fixed) / (1 - m - f x (1 + t)): `margin_bp` on net,
    `fee_bp` on takings with tax. Tax goes on, then the price goes up to the
    next whole minor unit, or the next that ends in `ending` minor units of
    `per_major` to the major one; one further where its tax, rounded up, would
    take it below the wanted margin. Raises ValueError where no price leaves that
    margin, for nothing to price, negative shares or an ending no price has.
    """
    _check(shelf_cost + fixed, (shelf_cost, fixed, margin_bp, fee_bp, tax_bp), ending, per_major)
    divisor = _divisor(margin_bp, fee_bp, tax_bp)
    cost = shelf_cost + fixed
    gross = _up_to_ending(_gross(cost, divisor, tax_bp), ending, per_major)
    while _margin_of_gross(gross, cost, fee_bp, tax_bp) < margin_bp:
        gross += 1 if ending is None else per_major
    tax = tax_within(gross, tax_bp)
    fees = proportion(gross * MILLION, fee_bp, WHOLE_BP)
    net = gross - tax
    return Proposal(
        net=net,
        tax=tax,
        gross=gross,
        exact_net=proportion(cost, WHOLE_BP**2, divisor),
        exact_gross=proportion(cost, WHOLE_BP * (WHOLE_BP + tax_bp), divisor),
        fees=fees,
        full_cost=cost + fees,
        margin_bp=margin_of(cost + fees, net * MILLION),
        markup_bp=markup_of(cost + fees, net * MILLION),
        break_even=_gross(cost, _divisor(0, fee_bp, tax_bp), tax_bp),
    )


def _check(cost: int, amounts: tuple[int, ...], ending: int | None, per_major: int) -> None:
    if min(amounts) < 0:
        raise ValueError("costs, margin, fees and tax cannot be negative")
    if not cost:
        raise ValueError("a price from a margin needs a cost")
    if ending is not None and not 0 <= ending < per_major:
        raise ValueError(f"no price ends in {ending} of {per_major}")


def _divisor(margin_bp: int, fee_bp: int, tax_bp: int) -> int:
    """Return 1 - m - f x (1 + t), in units of 1 / 10,000 squared."""
    divisor = WHOLE_BP**2 - margin_bp * WHOLE_BP - fee_bp * (WHOLE_BP + tax_bp)
    if divisor <= 0:
        raise ValueError("margin and fees take the whole price: no price leaves that margin")
    return divisor


def _gross(cost: int, divisor: int, tax_bp: int) -> int:
    """Return the lowest whole minor units with tax that reach the exact price."""
    return -(-cost * WHOLE_BP * (WHOLE_BP + tax_bp) // (divisor * MILLION))


def _margin_of_gross(gross: int, cost: int, fee_bp: int, tax_bp: int) -> int:
    """Return the margin a price with tax leaves, to a hundredth of a per cent; below any wanted where its net is nothing."""
    net = (gross - tax_within(gross, tax_bp)) * MILLION
    return margin_of(cost + proportion(gross * MILLION, fee_bp, WHOLE_BP), net) if net else -WHOLE_BP


def _up_to_ending(gross: int, ending: int | None, per_major: int) -> int:
    return gross if ending is None else gross + (ending - gross) % per_major


def fixed_per_unit(price_with_tax: int, *, fixed_day: int, usual_takings: int) -> int:
    """Return a unit's share of a day's fixed cost, by sales value.

    `usual_takings` is what such a day usually takes, with tax, in the unit of
    `fixed_day`; the answer is in that of the price, halves up. Raises
    ValueError unless usual takings are positive.

    >>> fixed_per_unit(500, fixed_day=3000, usual_takings=30000)
    50
    """
    return proportion(price_with_tax, fixed_day, usual_takings)


def margin_of(cost: int, price: int) -> int:
    """Return profit over price; ValueError unless the price is positive.

    >>> margin_of(80, 100), markup_of(80, 100)
    (2000, 2500)
    """
    return proportion(WHOLE_BP, price - cost, price)


def markup_of(cost: int, price: int) -> int:
    """Return profit over cost; ValueError unless the cost is positive."""
    return proportion(WHOLE_BP, price - cost, cost)


def margin_of_markup(markup_bp: int) -> int:
    """Return the margin a markup makes: markup / (1 + markup)."""
    return proportion(WHOLE_BP, markup_bp, WHOLE_BP + markup_bp)


def markup_of_margin(margin_bp: int) -> int:
    """Return the markup a margin needs: margin / (1 - margin), below the whole."""
    return proportion(WHOLE_BP, margin_bp, WHOLE_BP - margin_bp)


def price_at_markup(cost: int, markup_bp: int) -> int:
    """Return cost x (1 + markup), halves up, in the unit of the cost."""
    return proportion(cost, WHOLE_BP + markup_bp, WHOLE_BP)


def price_at_margin(cost: int, margin_bp: int) -> int:
    """Return cost / (1 - margin), halves up; ValueError from the whole price on."""
    return proportion(cost, WHOLE_BP, WHOLE_BP - margin_bp)
