"""Customers, retail sales, trade orders, jobs, workshops, invoices and payments."""

from .customers import Customer, CustomerPrice
from .hire import HireBack, HireItem, HireItemCount, HireOut, JobHire
from .invoices import Invoice, InvoiceLine, Payment
from .jobs import (
    Deposit,
    Job,
    JobAgreed,
    JobCancelled,
    JobChange,
    JobCharge,
    JobDone,
    JobFreed,
    JobHold,
    JobLetGo,
    JobPiece,
    PiecePart,
)
from .orders import AskedChange, Dispatch, DispatchLine, HandedOver, Later, Order, OrderChange, OrderLine, Packing, Parcel
from .reported import Reported, ReportedBack
from .retail import Sale, SaleLine, SaleTaking, StallDay
from .stall import CardPayout, StallBack, StallBackRow, StallLoad, TinCount
from .taken import CameBack, CameBackRow, Taken, TakenRow
from .terms import OrderTerms, PackRule, StandingEnd, StandingLeftOut, StandingLine, StandingOrder
from .workshops import PlacesGivenBack, PlacesSold, Workshop, WorkshopCalledOff, WorkshopHeld

__all__ = [
    "AskedChange", "CameBack", "CameBackRow", "CardPayout", "Customer", "CustomerPrice", "Deposit", "Dispatch", "DispatchLine",
    "HandedOver", "HireBack", "HireItem", "HireItemCount", "HireOut", "Invoice", "InvoiceLine", "Job", "JobAgreed",
    "JobCancelled", "JobChange", "JobCharge", "JobDone", "JobFreed", "JobHire", "JobHold", "JobLetGo", "JobPiece", "Later",
    "Order", "OrderChange", "OrderLine", "OrderTerms", "PackRule", "Packing", "Parcel", "Payment", "PiecePart", "PlacesGivenBack",
    "PlacesSold", "Reported", "ReportedBack", "Sale", "SaleLine", "SaleTaking", "StallBack", "StallBackRow", "StallDay",
    "StallLoad", "StandingEnd", "StandingLeftOut", "StandingLine", "StandingOrder", "Taken", "TakenRow", "TinCount", "Workshop",
    "WorkshopCalledOff", "WorkshopHeld",
]
