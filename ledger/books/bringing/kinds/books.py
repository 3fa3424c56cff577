"""The fewest stems to judge by, and years closed."""

from django.utils.translation import gettext_lazy as _

from ledger.books.actions import close_year, set_least_stems

from ..columns import Day, Whole
from ..rows import Kind

KINDS = (
    Kind(
        "least_stems", "books", _("fewest stems to judge a planting's season by, from a day"), set_least_stems,
        (Day("on"), Whole("stems")),
    ),
    Kind(
        "year_closes", "books", _("years whose books were closed, once all that was written by then stood there"), close_year,
        (Day("on", about=_("the last day of the year")),),
    ),
)
