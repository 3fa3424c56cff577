"""What to charge for a line by each way of selling, from the wanted margin."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from ledger.costing.queries import CostSheet
from ledger.facts.queries import holding, tax_rate_on
from ledger.reckoning.currency import minor_digits
from ledger.reckoning.price import Proposal, fixed_per_unit, margin_of, selling_price
from ledger.reckoning.sharing import MILLION
from ledger.reckoning.taking import proportion
from ledger.reckoning.tax import tax_within
from ledger.stock.models import Line

from ..models import Price, Way, WayTerms


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
    terms = {one.way_id: one for one in WayTerms.objects.standing_on(on).order_by("on", "pk")}
    prices = {
        one.way_id: one.amount for one in Price.objects.standing_on(on).filter(line=sheet.line).order_by("on", "pk")
    }
    return [_propose(sheet, way, terms[way.pk], prices.get(way.pk), rate) for way in ways if way.pk in terms]


def _propose(sheet: CostSheet, way: Way, terms: WayTerms, present: int | None, rate: int) -> WayProposal:
    if not sheet.known or not sheet.shelf_cost:
        return WayProposal(way, present=present, why_not=str(_("its cost is not known yet")))
    try:
        proposal = _with_fixed(sheet.shelf_cost, way, terms, present, rate)
    except ValueError as error:
        return WayProposal(way, present=present, wanted_bp=terms.margin_bp, why_not=str(error))
    price = proposal.gross if way.with_tax else proposal.net
    return WayProposal(
        way, price=price, margin_bp=proposal.margin_bp, markup_bp=proposal.markup_bp,
        full_cost=proposal.full_cost, present=present, wanted_bp=terms.margin_bp,
        present_margin_bp=_margin_at(present, sheet.shelf_cost, way, terms, rate) if present else None,
    )


def _with_fixed(shelf: int, way: Way, terms: WayTerms, present: int | None, rate: int) -> Proposal:
    """The proposal with its share of a day's fixed cost, by sales value at today's price, else at the price without it."""
    fee, tax = (terms.fee_bp, rate) if way.with_tax else (proportion(terms.fee_bp, 10_000 + rate, 10_000), 0)
    asked = {"margin_bp": terms.margin_bp, "fee_bp": fee, "tax_bp": tax}
    ending = terms.ending
    per_major = 10 ** minor_digits(holding().currency)
    plain = selling_price(shelf, fixed=0, ending=ending, per_major=per_major, **asked)
    if not terms.usual_takings:
        return plain
    gross = _gross(present, way, rate) if present else plain.gross
    fixed = fixed_per_unit(gross * MILLION, fixed_day=terms.fixed_day, usual_takings=terms.usual_takings)
    return selling_price(shelf, fixed=fixed, ending=ending, per_major=per_major, **asked)


def _gross(price: int, way: Way, rate: int) -> int:
    return price if way.with_tax else price + proportion(price, rate, 10_000)


def _margin_at(price: int, shelf: int, way: Way, terms: WayTerms, rate: int) -> int:
    """The margin today's price leaves after fees and its share of fixed cost."""
    gross = _gross(price, way, rate)
    net = gross - tax_within(gross, rate) if way.with_tax else price
    fees = proportion(gross * MILLION, terms.fee_bp, 10_000)
    fixed = (
        fixed_per_unit(gross * MILLION, fixed_day=terms.fixed_day, usual_takings=terms.usual_takings)
        if terms.usual_takings
        else 0
    )
    return margin_of(shelf + fixed + fees, net * MILLION)


def line_named(text: str) -> Line | None:
    """The line a command or address names: its number, or its name as printed."""
    if text.isdecimal():
        return Line.objects.select_related("variety__species").filter(pk=int(text)).first()
    lines = Line.objects.select_related("variety__species")
    return next((line for line in lines if str(line).casefold() == text.casefold()), None)
