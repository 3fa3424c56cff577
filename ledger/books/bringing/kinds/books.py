"""Years closed."""

from django.utils.translation import gettext_lazy as _

from ledger.books.actions import close_year

from ..columns import Day
from ..rows import Kind

KINDS = (
    Kind(
        "year_closes", "books", _("years whose books were closed, once all that was written by then stood there"), close_year,
        (Day("on", about=_("the last day of the year")),),
    ),
)
