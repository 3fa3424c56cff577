"""The forms of pricing."""

from .offers import OfferForm
from .prices import AsOfDayForm, PriceForm, SheetOfPricesForm
from .ways import ChangeWayForm, TermsForm, WayForm

__all__ = ["AsOfDayForm", "ChangeWayForm", "OfferForm", "PriceForm", "SheetOfPricesForm", "TermsForm", "WayForm"]
