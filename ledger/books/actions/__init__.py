"""The verbs of the books: closing a year and opening it again."""

from .closing import close_year, reopen_year

__all__ = ["close_year", "reopen_year"]
