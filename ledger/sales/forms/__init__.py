"""The forms of sales."""

from .customers import BlankForm, CustomerForm
from .orders import BunchesForm, OrderForm
from .own_prices import OwnPriceForm
from .packing import PackForm
from .papers import CreditForm, PaymentForm
from .retail import SaleForm, StallDayForm
from .stall import CardPayoutForm, TinForm

__all__ = [
    "BlankForm", "BunchesForm", "CardPayoutForm", "CreditForm", "CustomerForm", "OrderForm", "OwnPriceForm", "PackForm",
    "PaymentForm", "SaleForm", "StallDayForm", "TinForm",
]
