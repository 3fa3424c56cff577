"""What an order asks for, written down: “20 statice deep blue”, one line of the list to a row."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.stock.models import Line

PARTED = re.compile(r"[\s,()-]+")
ROW = re.compile(r"\s*(\d{1,6})\s*[x×]?\s+(\S.*)")
MOST_NAMED = 4


def written(text: str, lines: Sequence[Line]) -> dict[Line, int]:
    """How many of which line each row asks for; a row must name one line by words its name begins some of its words with.

    Where several fit and one of them only is of firsts, that one is meant. Raises ValidationError with a sentence for each
    row that cannot be read.
    """
    found: dict[Line, int] = {}
    wrong: list[ValidationError] = []
    for row in filter(None, (row.strip() for row in text.splitlines())):
        try:
            line, number = _read(row, lines)
            if line in found:
                raise ValidationError(_("“%(row)s”: that line is written twice."), code="twice", params={"row": row})
            found[line] = number
        except ValidationError as error:
            wrong.append(error)
    if wrong:
        raise ValidationError(wrong)
    return found


def written_down() -> forms.CharField:
    """The field in which lines are written down instead of being filled in row by row."""
    return forms.CharField(
        label=_("What is asked for, written down"), required=False, widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("A row a line, such as “20 statice deep blue”; the first letters of its words will do. Or fill in the rows."),
    )


def read_written(form: forms.Form, given: dict[str, Any], lines: Sequence[Line]) -> None:
    """Put what was written down into a form's `asked_` rows, but for a row that is filled in itself."""
    try:
        found = written(given.get("written", ""), lines)
    except ValidationError as error:
        form.add_error("written", error)
        return
    for line, number in found.items():
        if given.get(f"asked_{line.pk}"):
            form.add_error("written", _("%(what)s is filled in below too.") % {"what": line})
        given[f"asked_{line.pk}"] = number


def _read(row: str, lines: Sequence[Line]) -> tuple[Line, int]:
    match = ROW.fullmatch(row)
    if match is None or not int(match[1]):
        raise ValidationError(_("“%(row)s”: begin with how many, then name the line."), code="unreadable", params={"row": row})
    fit = _meant([line for line in lines if _fits(match[2], line)])
    if not fit:
        raise ValidationError(_("“%(row)s”: no line is called so."), code="unknown", params={"row": row})
    if len(fit) > 1:
        named = "; ".join(str(line) for line in fit[:MOST_NAMED])
        says = _("“%(row)s” may mean %(named)s. Write more of it.")
        raise ValidationError(says, code="several", params={"row": row, "named": named})
    return fit[0], int(match[1])


def _fits(words: str, line: Line) -> bool:
    """Whether each word begins a word of the line's name."""
    called = PARTED.split(str(line).casefold())
    return all(any(word.startswith(said) for word in called) for said in PARTED.split(words.casefold()) if said)


def _meant(fit: list[Line]) -> list[Line]:
    firsts = [line for line in fit if line.grade == Line.Grade.FIRSTS]
    return firsts if len(firsts) == 1 else fit
