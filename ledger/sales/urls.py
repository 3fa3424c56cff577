"""The addresses of sales."""

from django.urls import path

from .views import customers, invoices, orders, own_prices, packing, retail

app_name = "sales"
urlpatterns = [
    path("", retail.Sales.as_view(), name="sales"),
    path("sell/", retail.Sell.as_view(), name="sell"),
    path("<int:pk>/", retail.sale, name="sale"),
    path("<int:pk>/undo/", retail.UndoSale.as_view(), name="undo_sale"),
    path("stall-days/", retail.StallDays.as_view(), name="stall_days"),
    path("stall-days/begin/", retail.OpenStallDay.as_view(), name="open_stall_day"),
    path("stall-days/<int:pk>/", retail.stall_day, name="stall_day"),
    path("stall-days/<int:pk>/undo/", retail.UndoStallDay.as_view(), name="undo_stall_day"),
    path("customers/", customers.Customers.as_view(), name="customers"),
    path("customers/add/", customers.AddCustomer.as_view(), name="add_customer"),
    path("customers/<int:pk>/", customers.customer, name="customer"),
    path("customers/<int:pk>/change/", customers.ChangeCustomer.as_view(), name="change_customer"),
    path("customers/<int:pk>/blank/", customers.BlankCustomer.as_view(), name="blank_customer"),
    path("customers/<int:pk>/own-prices/set/", own_prices.SetOwnPrice.as_view(), name="set_own_price"),
    path("customers/<int:pk>/price-list/", own_prices.own_list_paper, name="own_list_paper"),
    path("own-prices/<int:pk>/end/", own_prices.EndOwnPrice.as_view(), name="end_own_price"),
    path("own-prices/<int:pk>/undo/", own_prices.UndoOwnPrice.as_view(), name="undo_own_price"),
    path("orders/", orders.Orders.as_view(), name="orders"),
    path("orders/take/", orders.TakeOrder.as_view(), name="take_order"),
    path("orders/<int:pk>/", orders.order, name="order"),
    path("orders/<int:pk>/undo/", orders.UndoOrder.as_view(), name="undo_order"),
    path("orders/<int:pk>/pack/", packing.Pack.as_view(), name="pack"),
    path("orders/<int:pk>/picking-list/", packing.picking_list, name="picking_list"),
    path("orders/<int:pk>/send/", packing.Send.as_view(), name="send"),
    path("orders/<int:pk>/invoice/", invoices.InvoiceOrder.as_view(), name="invoice_order"),
    path("order-lines/<int:pk>/promise/", orders.PromiseMore.as_view(), name="promise_more"),
    path("order-lines/<int:pk>/give-back/", orders.Cancel.as_view(), name="cancel"),
    path("promises/<int:pk>/undo/", orders.UndoPromise.as_view(), name="undo_promise"),
    path("packings/<int:pk>/undo/", packing.Unpack.as_view(), name="unpack"),
    path("dispatches/", packing.Dispatches.as_view(), name="dispatches"),
    path("dispatches/<int:pk>/", packing.dispatch, name="dispatch"),
    path("dispatches/<int:pk>/note/", packing.dispatch_note, name="dispatch_note"),
    path("dispatches/<int:pk>/undo/", packing.UndoDispatch.as_view(), name="undo_dispatch"),
    path("invoices/", invoices.Invoices.as_view(), name="invoices"),
    path("invoices/<int:pk>/", invoices.invoice, name="invoice"),
    path("invoices/<int:pk>/paper/", invoices.invoice_paper, name="invoice_paper"),
    path("invoices/<int:pk>/credit/", invoices.Credit.as_view(), name="credit"),
    path("invoices/<int:pk>/pay/", invoices.Pay.as_view(), name="pay"),
    path("payments/", invoices.Payments.as_view(), name="payments"),
    path("payments/<int:pk>/undo/", invoices.UndoPayment.as_view(), name="undo_payment"),
]
