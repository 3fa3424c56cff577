"""Leaves of a list: numbered up to so many rows, beyond them turned one by one, so that no long list is counted whole."""

from __future__ import annotations

from typing import Any

from django.core.paginator import EmptyPage, Page, Paginator
from django.db import models
from django.utils.functional import cached_property

MOST, FARTHEST = 1_000, 10**9


class Leaf(Page):
    """One leaf; it knows whether another follows, numbered or not."""

    paginator: Leaves

    def has_next(self) -> bool:
        return super().has_next() or self.paginator.reaches(self.number + 1)


class Leaves(Paginator):
    """The leaves of a table's rows. `more`: there are more rows than `MOST`, and `count` and `num_pages` are of those only."""

    @cached_property
    def _counted(self) -> int:
        rows = self.object_list.data.data
        if not isinstance(rows, models.QuerySet):
            return len(rows)
        bare = rows.values("pk") if rows._fields is None else rows  # what is shown of a row is not worked out to count it
        return bare.order_by()[: MOST + 1].count()

    @property
    def more(self) -> bool:
        """Whether there are rows beyond those counted."""
        return isinstance(self.object_list.data.data, models.QuerySet) and self._counted > MOST

    @cached_property
    def count(self) -> int:
        return MOST if self.more else self._counted

    def reaches(self, number: int) -> bool:
        """Whether a leaf beyond the numbered ones has a row."""
        before = (number - 1) * self.per_page
        return self.more and before < FARTHEST and self.object_list.data.data[before : before + 1].exists()

    def validate_number(self, number: Any) -> int:
        try:
            return super().validate_number(number)
        except EmptyPage:
            if int(number) < 1 or not self.reaches(int(number)):
                raise
            return int(number)

    def page(self, number: Any) -> Leaf:
        """The leaf of that number; raises EmptyPage where no row is on it, PageNotAnInteger where it is no number."""
        number = self.validate_number(number)
        first = (number - 1) * self.per_page
        return Leaf(self.object_list[first : first + self.per_page], number, self)
