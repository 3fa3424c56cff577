"""Customers, retail sales, trade orders, invoices and payments."""

from .customers import Customer, CustomerPrice
from .invoices import Invoice, InvoiceLine, Payment
from .orders import AskedChange, Dispatch, DispatchLine, HandedOver, Later, Order, OrderChange, OrderLine, Packing, Parcel
from .reported import Reported, ReportedBack
from .retail import Sale, SaleLine, SaleTaking, StallDay
from .stall import CardPayout, StallBack, StallBackRow, StallLoad, TinCount
from .terms import OrderTerms, PackRule, StandingEnd, StandingLeftOut, StandingLine, StandingOrder

__all__ = [
    "AskedChange", "CardPayout", "Customer", "CustomerPrice", "Dispatch", "DispatchLine", "HandedOver", "Invoice", "InvoiceLine",
    "Later", "Order", "OrderChange", "OrderLine", "OrderTerms", "PackRule", "Packing", "Parcel", "Payment", "Reported",
    "ReportedBack", "Sale", "SaleLine", "SaleTaking", "StallBack", "StallBackRow", "StallDay", "StallLoad", "StandingEnd",
    "StandingLeftOut", "StandingLine", "StandingOrder", "TinCount",
]
