"""What a cell may say, and the value it gives."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, time
from decimal import Decimal
from typing import Any, ClassVar, NamedTuple
from zoneinfo import available_timezones

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostKind
from ledger.reckoning.currency import minor_digits, parse_minor

MOST = 10**9
MOST_MONEY = 10**12
WHOLE = re.compile(r"-?[0-9]+")
TENTHS = re.compile(r"-?[0-9]{1,4}(?:\.[0-9])?")
DECIMAL = re.compile(r"[0-9]+(?:\.[0-9]{1,2})?")


class BadCell(ValueError):
    """A cell that cannot be read; says what would do."""

    def __init__(self, reason: Any) -> None:
        super().__init__(reason)
        self.reason = reason


class Named(NamedTuple):
    """A record named by its file and its key there."""

    file: str
    key: str


@dataclass(frozen=True)
class Setting:
    """What reading needs to know: decimals of the currency, years to move every day by, kinds of cost."""

    digits: int = 2
    shift: int = 0
    costs: Mapping[str, CostKind] = field(default_factory=dict)


Found = Callable[[Named], Any]


@dataclass(frozen=True)
class Column:
    """Plain words; the base of every other kind of column.

    `gives`: the argument of the action, where it is not the column's name.
    """

    name: str
    about: Any = field(default="", kw_only=True)
    required: bool = field(default=True, kw_only=True)
    gives: str = field(default="", kw_only=True)
    what: ClassVar[Any] = _("words")

    @property
    def argument(self) -> str:
        """The argument of the action that the cell becomes."""
        return self.gives or self.name

    def read(self, text: str, setting: Setting) -> Any:
        """Return what the cell says; raises BadCell."""
        return text

    def names(self, value: Any) -> Iterable[Named]:
        """The records the cell rests on."""
        return ()

    def resolve(self, value: Any, found: Found) -> Any:
        """Return the value an action takes, records in the place of their keys."""
        return value

    def says(self) -> Any:
        """What may stand in the cell, in words."""
        return self.what


class Words(Column):
    """Anything."""


class Whole(Column):
    what = _("a whole number")

    def read(self, text: str, setting: Setting) -> int:
        if not WHOLE.fullmatch(text):
            raise BadCell(_("“%(text)s” is not a whole number.") % {"text": text})
        return _within(int(text), MOST)


class Money(Column):
    what = _("an amount in the holding's currency, such as 12.50")

    def read(self, text: str, setting: Setting) -> int:
        try:
            return _within(parse_minor(text, setting.digits), MOST_MONEY)
        except BadCell:
            raise
        except ValueError as error:
            raise BadCell(str(error)) from error


def _within(number: int, most: int) -> int:
    if number < 0:
        raise BadCell(_("It cannot be below zero."))
    if number > most:
        raise BadCell(_("That is beyond belief; check the number."))
    return number


class PlainDecimal(Column):
    what = _("a number with at most two decimals, such as 12.50")

    def read(self, text: str, setting: Setting) -> Any:
        if not DECIMAL.fullmatch(text):
            raise BadCell(_("“%(text)s” is not a number with a dot and at most two decimals.") % {"text": text})
        if Decimal(text) > MOST:
            raise BadCell(_("That is beyond belief; check the number."))
        return Decimal(text)


class Tenths(Column):
    what = _("a number with at most one decimal, below zero too, such as -2.5")

    def read(self, text: str, setting: Setting) -> int:
        if not TENTHS.fullmatch(text):
            raise BadCell(_("“%(text)s” is not a number with a dot and at most one decimal.") % {"text": text})
        return int(Decimal(text) * 10)


class Clock(Column):
    what = _("a time of day as 14:30")

    def read(self, text: str, setting: Setting) -> time:
        try:
            return time.fromisoformat(text if len(text) == 5 else "")
        except ValueError as error:
            raise BadCell(_("“%(text)s” is not a time written as 14:30.") % {"text": text}) from error


class PerCent(PlainDecimal):
    what = _("a percentage with at most two decimals, such as 7.5")

    def read(self, text: str, setting: Setting) -> int:
        return int(super().read(text, setting) * 100)


class Day(Column):
    what = _("a day as 2025-07-31")

    def read(self, text: str, setting: Setting) -> date:
        try:
            day = date.fromisoformat(text) if len(text) == 10 else None
        except ValueError:
            day = None
        if day is None:
            raise BadCell(_("“%(text)s” is not a day written as 2025-07-31.") % {"text": text})
        return years_later(day, setting.shift)


def years_later(day: date, years: int) -> date:
    """The same day some years later; 29 February becomes the 28th where there is none.

    >>> years_later(date(2024, 2, 29), 1), years_later(date(2024, 2, 29), 4)
    (datetime.date(2025, 2, 28), datetime.date(2028, 2, 29))
    """
    try:
        return day.replace(year=day.year + years)
    except ValueError as error:
        if (day.month, day.day) == (2, 29):
            return day.replace(year=day.year + years, day=28)
        raise BadCell(_("That day lies outside the calendar.")) from error


class Year(Whole):
    what = _("a year such as 2025")

    def read(self, text: str, setting: Setting) -> int:
        year = super().read(text, setting)
        if not 1990 <= year <= 2200:
            raise BadCell(_("%(year)d is no year of this ledger.") % {"year": year})
        return year + setting.shift


class YesNo(Column):
    what = _("yes or no")

    def read(self, text: str, setting: Setting) -> bool:
        if text not in {"yes", "no"}:
            raise BadCell(_("Write yes or no, not “%(text)s”.") % {"text": text})
        return text == "yes"


@dataclass(frozen=True)
class OneOf(Column):
    """One of a few words."""

    words: tuple[str, ...] = field(kw_only=True)

    def read(self, text: str, setting: Setting) -> str:
        if text not in self.words:
            raise BadCell(_("“%(text)s” is none of %(words)s.") % {"text": text, "words": ", ".join(self.words)})
        return text

    def says(self) -> Any:
        return " | ".join(self.words)


class Currency(Column):
    what = _("a currency of ISO 4217, such as EUR")

    def read(self, text: str, setting: Setting) -> str:
        try:
            minor_digits(text)
        except ValueError as error:
            raise BadCell(str(error)) from error
        return text


class Zone(Column):
    what = _("a time zone such as Europe/Paris")

    def read(self, text: str, setting: Setting) -> str:
        if text not in available_timezones():
            raise BadCell(_("“%(text)s” is not a known time zone.") % {"text": text})
        return text


class KindOfCost(Column):
    what = _("the code of a kind of cost")

    def read(self, text: str, setting: Setting) -> CostKind:
        if text not in setting.costs:
            raise BadCell(_("“%(text)s” is none of %(words)s.") % {"text": text, "words": ", ".join(setting.costs)})
        return setting.costs[text]


class Key(Column):
    what = _("a short name for this row, used in the other files")

    def read(self, text: str, setting: Setting) -> str:
        if set(text) & set(":;*"):
            raise BadCell(_("A key has no colon, semicolon or star."))
        return text


@dataclass(frozen=True)
class Ref(Column):
    """The key of a row of another file."""

    to: str = field(kw_only=True)

    def read(self, text: str, setting: Setting) -> Named:
        return Named(self.to, text)

    def names(self, value: Named) -> Iterable[Named]:
        return (value,)

    def resolve(self, value: Named, found: Found) -> Any:
        return found(value)

    def says(self) -> Any:
        return _("a key of %(file)s.csv") % {"file": self.to}
