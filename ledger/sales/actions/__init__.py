"""The verbs of sales: customers, retail, trade orders, packing and sending, papers, payments."""

from .back import BackBox, BackBunches, BackStems, bring_back, undo_bring_back
from .cancelling import cancel_order
from .changing import change_order, undo_order_change
from .charging import Sold
from .consigning import SaidOf, hand_over, report, undo_hand_over, undo_report
from .customers import add_customer, blank_customer, change_customer
from .deposits import give_back_deposit, take_deposit, undo_deposit
from .ending import cancel_job, do_job, undo_cancelling, undo_job_done
from .hire import (
    add_hire_item,
    bring_hire_back,
    change_hire_item,
    count_hire_item,
    plan_hire,
    send_out,
    undo_hire_back,
    undo_hire_item_count,
    undo_hire_out,
    undo_plan_hire,
)
from .invoices import credit, invoice
from .job_holds import free_from_job, keep_all_for_job, keep_for_job, undo_kept
from .job_invoices import invoice_job, use_deposit
from .jobs import agree_job, change_job, open_job, undo_agreement, undo_job, undo_job_change
from .loading import load_boxes, undo_load
from .orders import Asked, take_order, undo_order
from .own_prices import set_own_price, undo_own_price
from .packing import Picked, pack, pack_picked, send, undo_dispatch, unpack
from .payments import give_money_back, pay, undo_payment
from .pieces import Part, add_piece, change_piece, drop_piece
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
from .taking import bring_bunches_back, bring_stems_back, take_bunches_for, take_stems_for, undo_came_back, undo_taken
from .taking_along import bring_back_from, take_along
from .terms import set_order_terms, set_pack_rule, undo_order_terms, undo_pack_rule
from .workshops import (
    call_off,
    give_places_back,
    hold_workshop,
    offer_workshop,
    sell_places,
    undo_calling_off,
    undo_places_given_back,
    undo_places_sold,
    undo_workshop,
    undo_workshop_held,
)

__all__ = [
    "Asked", "BackBox", "BackBunches", "BackStems", "EachTime", "Part", "Picked", "SaidOf", "Sold", "add_customer",
    "add_hire_item", "add_piece", "agree_job", "agree_standing_order", "ask_more", "blank_customer", "bring_back",
    "bring_back_from", "bring_bunches_back", "bring_hire_back", "bring_stems_back", "call_off", "cancel", "cancel_job",
    "cancel_order", "change_customer", "change_hire_item", "change_job", "change_order", "change_piece", "come_later",
    "count_hire_item", "count_tin", "credit", "do_job", "drop_piece", "end_standing_order", "fill", "free_from_job",
    "give_back_deposit", "give_money_back", "give_places_back", "hand_over", "hold_workshop", "invoice", "invoice_job",
    "keep_all_for_job", "keep_for_job", "leave_out", "load_boxes", "offer_workshop", "open_job", "open_stall_day", "pack",
    "pack_picked", "pay", "plan_hire", "promise_more", "record_card_payout", "report", "sell", "sell_as_seconds",
    "sell_places", "send", "send_out", "set_order_terms", "set_own_price", "set_pack_rule", "stand_in", "substitute",
    "take_along", "take_bunches_for", "take_deposit", "take_order", "take_standing_order", "take_stems_for", "undo_agreement",
    "undo_asked_change", "undo_bring_back", "undo_calling_off", "undo_came_back", "undo_cancelling", "undo_card_payout",
    "undo_deposit", "undo_dispatch", "undo_hand_over", "undo_hire_back", "undo_hire_item_count", "undo_hire_out", "undo_job",
    "undo_job_change", "undo_job_done", "undo_kept", "undo_later", "undo_leaving_out", "undo_load", "undo_order",
    "undo_order_change", "undo_order_terms", "undo_own_price", "undo_pack_rule", "undo_payment", "undo_places_given_back",
    "undo_places_sold", "undo_plan_hire", "undo_promise", "undo_report", "undo_sale", "undo_stall_day", "undo_standing_end",
    "undo_standing_order", "undo_taken", "undo_tin", "undo_workshop", "undo_workshop_held", "unpack", "use_deposit",
]
