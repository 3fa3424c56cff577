"""What orders by a way go by on a day: the least order, carriage, pack sizes."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.utils.translation import gettext as _

from ledger.pricing.models import Way
from ledger.pricing.queries.words import in_money
from ledger.reckoning.order_terms import carriage_due
from ledger.sales.models import OrderTerms, PackRule
from ledger.stock.models import Line


def order_terms_on(way: Way, on: date) -> OrderTerms | None:
    """The latest terms of orders by a way that hold that day, None where none were set."""
    return OrderTerms.objects.standing_on(on).filter(way=way).order_by("-on", "-pk").first()


def carriage_proposed(terms: OrderTerms | None, net: int) -> int:
    """The carriage the terms ask of an order of so much, net minor units; nil where none were set."""
    return carriage_due(net, carriage=terms.carriage, free_from=terms.free_from) if terms else 0


def pack_rules_on(way: Way, on: date) -> dict[int | None, PackRule]:
    """The latest rule that day of each line, by its key; under None that of any line without one of its own."""
    rules = PackRule.objects.standing_on(on).filter(way=way).select_related("line__variety__species").order_by("on", "pk")
    return {rule.line_id: rule for rule in rules}


def rule_for(line: Line, rules: dict[int | None, PackRule]) -> PackRule | None:
    """A line's own rule, else that of any line."""
    return rules.get(line.pk, rules.get(None))


def packs_in_words(lines: Iterable[Line], rules: dict[int | None, PackRule]) -> dict[int, str]:
    """What is said beside each line that has a rule, by its key: “in tens, from 20”."""
    found = ((line.pk, rule_for(line, rules)) for line in lines)
    return {line: words for line, rule in found if rule is not None and (words := rule_in_words(rule))}


def rule_in_words(rule: PackRule) -> str:
    """A rule in a few words, empty where any number will do."""
    first = _("in multiples of %(n)d") % {"n": rule.multiple} if rule.multiple > 1 else ""
    second = _("at least %(n)d") % {"n": rule.least} if rule.least > 1 else ""
    return ", ".join(part for part in (first, second) if part)


def terms_in_sentences(terms: OrderTerms | None) -> list[str]:
    """The terms as sentences; none where nothing was set."""
    if terms is None:
        return []
    says = [_("The least order is %(least)s, net.") % {"least": in_money(terms.least)}] if terms.least else []
    if terms.carriage and terms.free_from is not None:
        charged = {"carriage": in_money(terms.carriage), "free": in_money(terms.free_from)}
        return [*says, _("Carriage is %(carriage)s, net; none from %(free)s on.") % charged]
    if terms.carriage:
        return [*says, _("Carriage is %(carriage)s, net.") % {"carriage": in_money(terms.carriage)}]
    return [*says, _("No carriage is charged.")]
