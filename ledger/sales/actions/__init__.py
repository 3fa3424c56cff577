"""The verbs of sales: customers, retail, trade orders, packing and sending, papers, payments."""

from .charging import Sold
from .customers import add_customer, blank_customer, change_customer
from .invoices import credit, invoice
from .orders import Asked, cancel, promise_more, take_order, undo_order, undo_promise
from .own_prices import set_own_price, undo_own_price
from .packing import Picked, pack, pack_picked, send, undo_dispatch, unpack
from .payments import pay, undo_payment
from .retail import open_stall_day, sell, undo_sale, undo_stall_day
from .stall import count_tin, record_card_payout, undo_card_payout, undo_tin
from .standing import (
    EachTime,
    agree_standing_order,
    end_standing_order,
    leave_out,
    take_standing_order,
    undo_leaving_out,
    undo_standing_end,
    undo_standing_order,
)

__all__ = [
    "Asked", "EachTime", "Picked", "Sold", "add_customer", "agree_standing_order", "blank_customer", "cancel", "change_customer",
    "count_tin", "credit", "end_standing_order", "invoice", "leave_out", "open_stall_day", "pack", "pack_picked", "pay",
    "promise_more", "record_card_payout", "sell", "send", "set_own_price", "take_order", "take_standing_order",
    "undo_card_payout", "undo_dispatch", "undo_leaving_out", "undo_order", "undo_own_price", "undo_payment", "undo_promise",
    "undo_sale", "undo_stall_day", "undo_standing_end", "undo_standing_order", "undo_tin", "unpack",
]
