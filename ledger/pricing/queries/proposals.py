"""What to charge for a line by each way of selling, from the wanted margin."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from ledger.costing.queries import CostSheet
from ledger.facts.queries import holding, tax_rate_on
from ledger.reckoning.price import margin_of, markup_of, selling_price
from ledger.reckoning.selling import SellingCosts
from ledger.reckoning.sharing import MILLION
from ledger.reckoning.taking import proportion
from ledger.reckoning.tax import tax_within
from ledger.stock.models import Line

from ..models import Price, Way, WayTerms
from .selling import all_terms_on, selling_costs, step_of_endings


@dataclass(frozen=True)
class WayProposal:
    """One way's proposal beside today's price; money as kept (with tax when the way keeps it so), costs in millionths.

    `present`, `present_margin_bp` and `present_cost` are today's price, the margin it
    leaves and the full cost at it; `why_not` says why nothing can be proposed.
    """

    way: Way
    price: int | None = None
    margin_bp: int | None = None
    markup_bp: int | None = None
    full_cost: int | None = None
    present: int | None = None
    present_margin_bp: int | None = None
    present_cost: int | None = None
    wanted_bp: int | None = None
    why_not: str = ""


def proposals(sheet: CostSheet, on: date) -> list[WayProposal]:
    """A proposal for each way with terms in force that day."""
    rate, ways = tax_rate_on(on), list(Way.objects.all())
    terms = all_terms_on(on)
    prices = dict(Price.objects.in_force(on).of_one().filter(line=sheet.line).values_list("way", "amount"))
    return [propose(sheet, way, terms[way.pk], prices.get(way.pk), rate) for way in ways if way.pk in terms]


def propose(
    sheet: CostSheet, way: Way, terms: WayTerms, present: int | None, rate: int, costs: SellingCosts | None = None
) -> WayProposal:
    """One way's proposal at a tax rate, beside the present price as the way keeps it; `costs`: in place of its terms'."""
    costs = selling_costs(terms) if costs is None else costs
    if not sheet.known or not sheet.shelf_cost:
        return WayProposal(way, present=present, why_not=str(_("its cost is not known yet")))
    try:
        price = price_wanted(sheet.shelf_cost, way, terms, rate, costs)
    except ValueError as error:
        return WayProposal(way, present=present, wanted_bp=terms.margin_bp, why_not=str(error))
    gross = gross_of(price, way, rate)
    full_cost, net = sheet.shelf_cost + costs.all(gross * MILLION), (gross - tax_within(gross, rate) if way.with_tax else price)
    return WayProposal(
        way, price=price, margin_bp=margin_of(full_cost, net * MILLION), markup_bp=markup_of(full_cost, net * MILLION),
        full_cost=full_cost, present=present, wanted_bp=terms.margin_bp,
        present_margin_bp=margin_left(present, sheet.shelf_cost, way, costs, rate) if present else None,
        present_cost=sheet.shelf_cost + costs.all(gross_of(present, way, rate) * MILLION) if present else None,
    )


def price_wanted(
    shelf: int, way: Way, terms: WayTerms, rate: int, costs: SellingCosts, per_major: int | None = None
) -> int:
    """The price, as the way keeps it, that leaves the wanted margin after its own share of fees and fixed costs.

    `per_major`: the step of price endings where it was read already. Raises ValueError where no price leaves that margin.
    """
    asked = {"fixed": 0, "margin_bp": terms.margin_bp, "ending": terms.ending}
    per_major = per_major or step_of_endings(terms, holding().currency)
    if way.with_tax:
        return selling_price(shelf, fee_bp=costs.share_bp, tax_bp=rate, per_major=per_major, **asked).gross
    of_net = -(-costs.share_bp * (10_000 + rate) // 10_000)
    return selling_price(shelf, fee_bp=of_net, tax_bp=0, per_major=per_major, **asked).net


def gross_of(price: int, way: Way, rate: int) -> int:
    """A price as the way keeps it, with tax."""
    return price if way.with_tax else price + proportion(price, rate, 10_000)


def margin_at(price: int, shelf: int, way: Way, terms: WayTerms | None, rate: int) -> int:
    """The margin on net a price leaves after cost to the shelf, fees and its share of fixed cost; -10,000 at a net of nothing."""
    return margin_left(price, shelf, way, selling_costs(terms), rate)


def margin_left(price: int, shelf: int, way: Way, costs: SellingCosts, rate: int) -> int:
    """The same with the costs of selling given."""
    gross = gross_of(price, way, rate)
    net = gross - tax_within(gross, rate) if way.with_tax else price
    return margin_of(shelf + costs.all(gross * MILLION), net * MILLION) if net else -10_000


def line_named(text: str) -> Line | None:
    """The line a command or address names: its number, or its name as printed."""
    if text.isdecimal():
        return Line.objects.select_related("variety__species").filter(pk=int(text)).first()
    lines = Line.objects.select_related("variety__species")
    return next((line for line in lines if str(line).casefold() == text.casefold()), None)
