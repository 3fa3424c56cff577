"""The forms of sales."""

from .customers import BlankForm, CustomerForm
from .loading import BackForm, LoadForm
from .orders import BunchesForm, CancelForm, OrderForm
from .own_prices import OwnPriceForm
from .packing import PackForm
from .papers import CreditForm, InvoiceForm, MoneyBackForm, PaymentForm
from .retail import SaleForm, SecondsForm, StallDayForm
from .stall import CardPayoutForm, TinForm

__all__ = [
    "BackForm", "BlankForm", "BunchesForm", "CancelForm", "CardPayoutForm", "CreditForm", "CustomerForm", "InvoiceForm",
    "LoadForm", "MoneyBackForm", "OrderForm", "OwnPriceForm", "PackForm", "PaymentForm", "SaleForm", "SecondsForm",
    "StallDayForm", "TinForm",
]
