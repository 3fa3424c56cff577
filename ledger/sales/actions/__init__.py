"""The verbs of sales: customers, retail, trade orders, packing and sending, papers, payments."""

from .back import BackBox, BackBunches, BackStems, bring_back, undo_bring_back
from .changing import change_order, undo_order_change
from .charging import Sold
from .consigning import SaidOf, hand_over, report, undo_hand_over, undo_report
from .customers import add_customer, blank_customer, change_customer
from .invoices import credit, invoice
from .loading import load_boxes, undo_load
from .orders import Asked, take_order, undo_order
from .own_prices import set_own_price, undo_own_price
from .packing import Picked, pack, pack_picked, send, undo_dispatch, unpack
from .payments import pay, undo_payment
from .promises import (
    ask_more,
    cancel,
    come_later,
    fill,
    promise_more,
    stand_in,
    undo_asked_change,
    undo_later,
    undo_promise,
)
from .retail import open_stall_day, sell, undo_sale, undo_stall_day
from .seconds import sell_as_seconds
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
from .substituting import substitute
from .terms import set_order_terms, set_pack_rule, undo_order_terms, undo_pack_rule

__all__ = [
    "Asked", "BackBox", "BackBunches", "BackStems", "EachTime", "Picked", "SaidOf", "Sold", "add_customer",
    "agree_standing_order", "ask_more", "blank_customer", "bring_back", "cancel", "change_customer", "change_order", "come_later",
    "count_tin", "credit", "end_standing_order", "fill", "hand_over", "invoice", "leave_out", "load_boxes", "open_stall_day",
    "pack", "pack_picked", "pay", "promise_more", "record_card_payout", "report", "sell", "sell_as_seconds", "send",
    "set_order_terms", "set_own_price", "set_pack_rule", "stand_in", "substitute", "take_order",
    "take_standing_order", "undo_asked_change",
    "undo_bring_back", "undo_card_payout", "undo_dispatch", "undo_hand_over", "undo_later", "undo_leaving_out", "undo_load",
    "undo_order", "undo_order_change", "undo_order_terms", "undo_own_price", "undo_pack_rule", "undo_payment", "undo_promise",
    "undo_report", "undo_sale", "undo_stall_day", "undo_standing_end", "undo_standing_order", "undo_tin",
    "unpack",
]
