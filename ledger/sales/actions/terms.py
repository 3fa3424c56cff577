"""What orders by a way go by from a day on: least order, carriage, pack sizes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record, refusal
from ledger.pricing.models import Way
from ledger.pricing.queries.words import in_money
from ledger.reckoning.order_terms import would_do
from ledger.sales.models import OrderTerms, PackRule
from ledger.sales.queries.terms import pack_rules_on, rule_for
from ledger.stock.models import Line

if TYPE_CHECKING:
    from .orders import Asked


@action("prices")
def set_order_terms(
    *, by: User, way: Way, on: date, least: int | None = None, carriage: int = 0, free_from: int | None = None
) -> OrderTerms:
    """Record the least order, the carriage and from when it is free (None: no least, never free), net, from a day on."""
    _require_trade(way)
    if free_from is not None and not carriage:
        raise refusal("carriage", _("Say what carriage costs below that sum, or leave the sum out."), code="no_carriage")
    return record(OrderTerms(on=on, way=way, least=least, carriage=carriage, free_from=free_from), by=by)


@action("prices")
def undo_order_terms(*, by: User, terms: OrderTerms) -> OrderTerms:
    """Undo terms of orders: those before hold again."""
    return undo_within(terms, by=by)


@action("prices")
def set_pack_rule(
    *, by: User, way: Way, on: date, line: Line | None = None, least: int = 1, multiple: int = 1
) -> PackRule:
    """Record from how many on and in which multiples a line (None: any) is ordered; 1 and 1: in any number."""
    _require_trade(way)
    return record(PackRule(on=on, way=way, line=line, least=least, multiple=multiple), by=by)


@action("prices")
def undo_pack_rule(*, by: User, rule: PackRule) -> PackRule:
    """Undo a rule of packs: the one before it holds again."""
    return undo_within(rule, by=by)


def _require_trade(way: Way) -> None:
    if not way.trade:
        raise refusal("way", _("Nothing is ordered by this way; it is sold at once."), code="not_trade")


def require_packs(lines: Sequence[Asked], way: Way, on: date) -> None:
    """Refuse a number that the rule of its line does not allow."""
    rules = pack_rules_on(way, on)
    for asked in lines:
        rule = rule_for(asked.line, rules)
        if rule is not None:
            _require_pack(asked, rule)


def _require_pack(asked: Asked, rule: PackRule) -> None:
    below, above = would_do(asked.asked, least=rule.least, multiple=rule.multiple)
    if below == above:
        return
    says = _("%(line)s is ordered in multiples of %(multiple)d, at least %(least)d: %(above)d would do.")
    if below is not None:
        says = _("%(line)s is ordered in multiples of %(multiple)d, at least %(least)d: %(below)d or %(above)d would do.")
    raise refusal(
        "asked", says, code="pack", line=asked.line, multiple=rule.multiple, least=rule.least, below=below, above=above
    )


def require_least(net: int, terms: OrderTerms | None) -> None:
    """Refuse an order below the least of the terms, net."""
    if terms is not None and terms.least is not None and net < terms.least:
        raise refusal(
            None, _("The least order is %(least)s; this one comes to %(net)s, so %(more)s is lacking. Ask for more, or tick "
                    "“take it all the same”."),
            code="below_least", least=in_money(terms.least), net=in_money(net), more=in_money(terms.least - net),
        )
