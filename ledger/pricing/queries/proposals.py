"""What to charge for a line by each way of selling, from the wanted margin."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from ledger.costing.queries import CostSheet
from ledger.facts.queries import holding, tax_rate_on
from ledger.reckoning.price import Proposal, margin_of, selling_price
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

    `present` and `present_margin_bp` are today's price and the margin it
    leaves; `why_not` says why nothing can be proposed.
    """

    way: Way
    price: int | None = None
    margin_bp: int | None = None
    markup_bp: int | None = None
    full_cost: int | None = None
    present: int | None = None
    present_margin_bp: int | None = None
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
        proposal = _with_fixed(sheet.shelf_cost, way, terms, present, rate, costs)
    except ValueError as error:
        return WayProposal(way, present=present, wanted_bp=terms.margin_bp, why_not=str(error))
    price = _kept(proposal, way)
    return WayProposal(
        way, price=price, margin_bp=proposal.margin_bp, markup_bp=proposal.markup_bp,
        full_cost=proposal.full_cost, present=present, wanted_bp=terms.margin_bp,
        present_margin_bp=margin_left(present, sheet.shelf_cost, way, costs, rate) if present else None,
    )


def _with_fixed(shelf: int, way: Way, terms: WayTerms, present: int | None, rate: int, costs: SellingCosts) -> Proposal:
    """The proposal with its share of a day's fixed cost, by sales value at today's price, else at the price without it."""
    fee, tax = (costs.fee_bp, rate) if way.with_tax else (proportion(costs.fee_bp, 10_000 + rate, 10_000), 0)
    asked = {"margin_bp": terms.margin_bp, "fee_bp": fee, "tax_bp": tax}
    ending, per_major = terms.ending, step_of_endings(terms, holding().currency)
    plain = selling_price(shelf, fixed=0, ending=ending, per_major=per_major, **asked)
    fixed = costs.fixed((gross_of(present, way, rate) if present else gross_of(_kept(plain, way), way, rate)) * MILLION)
    return selling_price(shelf, fixed=fixed, ending=ending, per_major=per_major, **asked) if fixed else plain


def _kept(proposal: Proposal, way: Way) -> int:
    return proposal.gross if way.with_tax else proposal.net


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
