"""The ledger with one of everything, to be spoilt row by row."""

from tests.site.conftest import plenty

__all__ = ["plenty"]
