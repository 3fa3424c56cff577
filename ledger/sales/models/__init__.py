"""Customers, retail sales, trade orders, invoices and payments."""

from .customers import Customer, CustomerPrice
from .invoices import Invoice, InvoiceLine, Payment
from .orders import Dispatch, DispatchLine, Order, OrderLine, Packing, Parcel
from .retail import Sale, SaleLine, SaleTaking, StallDay
from .stall import CardPayout, TinCount

__all__ = [
    "CardPayout", "Customer", "CustomerPrice", "Dispatch", "DispatchLine", "Invoice", "InvoiceLine", "Order", "OrderLine",
    "Packing", "Parcel", "Payment", "Sale", "SaleLine", "SaleTaking", "StallDay", "TinCount",
]
