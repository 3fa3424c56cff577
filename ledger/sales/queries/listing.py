"""The availability list as it leaves the house other than on paper: as a table for a spreadsheet, and as a message."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from ledger.facts.queries import holding
from ledger.pricing.queries.words import in_money, steps_in_words
from ledger.reckoning.currency import minor_digits

from .availability import Availability, Coming, Free, Offered

BYTE_ORDER_MARK = "\ufeff"
FORMULA = ("=", "+", "-", "@", "\t", "\r")


def as_csv(found: Availability) -> str:
    """A row a line, heads first, commas between; begins with the mark by which a spreadsheet knows UTF-8.

    Amounts with a point for the decimals; days as year-month-day. No cell begins as a formula would.
    """
    text = io.StringIO(newline="")
    rows = csv.writer(text)
    rows.writerow([
        _("state"), _("line"), _("colour"), _("grade"), _("finish"), _("stems"), _("grams"), _("bunches"), _("expected"),
        _("price"), _("steps"), _("currency"), _("tax"),
    ])
    ends = (holding().currency, tax_in_words(found))
    for free in found.free:
        rows.writerow(_cells(_("free"), free.of, free.bunches, "", *ends))
    for coming in found.coming:
        expected = coming.expected.isoformat() if coming.expected else ""
        rows.writerow(_cells(_("coming, not promised"), coming.of, coming.bunches, expected, *ends))
    return BYTE_ORDER_MARK + text.getvalue()


def _cells(state: str, of: Offered, bunches: int, expected: str, currency: str, tax: str) -> list[str]:
    line, digits = of.line, minor_digits(currency)
    price = "" if of.price is None else in_money(of.price, digits)
    said = [
        state, line.called, of.colour, line.get_grade_display(), line.get_finish_display(), line.stems or "", line.grams or "",
        bunches, expected, price, steps_in_words(of.steps, digits), currency, tax,
    ]
    return [no_formula(str(one)) for one in said]


def no_formula(cell: str) -> str:
    """The cell, kept from being read as a formula."""
    return f"'{cell}" if cell.startswith(FORMULA) else cell


def tax_in_words(found: Availability) -> str:
    """How the way keeps its prices."""
    return _("with tax") if found.way.with_tax else _("without tax")


def as_text(found: Availability) -> str:
    """The list as plain lines to be pasted into a message."""
    return "\n".join(_lines(found)) + "\n"


def _lines(found: Availability) -> Iterator[str]:
    kept = holding()
    digits = minor_digits(kept.currency)
    yield _("%(holding)s, what there is on %(on)s") % {"holding": kept.name, "on": date_format(found.when)}
    yield _("Prices in %(currency)s, %(tax)s.") % {"currency": kept.currency, "tax": tax_in_words(found)}
    if not found.anything:
        yield from ("", _("Nothing is free and nothing is coming just now."))
    if found.free:
        yield from ("", _("Ready now:"))
        yield from (_free(one, digits) for one in found.free)
    if found.coming:
        yield from ("", _("Coming, not promised:"))
        yield from (_coming(one, digits) for one in found.coming)
    if found.cautions:
        yield ""
        yield from (f"{species}: {caution}" for species, caution in found.cautions)


def _free(one: Free, digits: int) -> str:
    return "- " + _("%(line)s: %(n)d, %(price)s") % {"line": _named(one.of), "n": one.bunches, "price": _priced(one.of, digits)}


def _coming(one: Coming, digits: int) -> str:
    said = {"line": _named(one.of), "n": one.bunches, "price": _priced(one.of, digits)}
    if one.expected is None:
        return "- " + _("%(line)s: about %(n)d, day not known, %(price)s") % said
    return "- " + _("%(line)s: about %(n)d from %(on)s, %(price)s") % {**said, "on": date_format(one.expected)}


def _named(of: Offered) -> str:
    """The line with its colour, where its name does not say it."""
    named = str(of.line)
    return named if not of.colour or of.colour.casefold() in named.casefold() else f"{named} ({of.colour})"


def _priced(of: Offered, digits: int) -> str:
    """The price of one and its steps in words."""
    each = "" if of.price is None else _("each %(price)s") % {"price": in_money(of.price, digits)}
    said = [each, steps_in_words(of.steps, digits)]
    return ", ".join(one for one in said if one)
