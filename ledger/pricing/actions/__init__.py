"""The verbs of pricing: ways of selling and their terms, prices, offers."""

from .offers import add_offer, end_offer, undo_offer, undo_offer_end
from .prices import ListPrice, set_price, set_prices, undo_price
from .ways import add_way, change_way, set_terms, undo_terms

__all__ = [
    "ListPrice", "add_offer", "add_way", "change_way", "end_offer", "set_price", "set_prices", "set_terms", "undo_offer",
    "undo_offer_end", "undo_price", "undo_terms",
]
