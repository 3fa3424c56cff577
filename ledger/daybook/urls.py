"""The addresses of the daybook."""

from django.urls import path

from .views import purchases, work

app_name = "daybook"
urlpatterns = [
    path("workers/", work.Workers.as_view(), name="workers"),
    path("workers/add/", work.AddWorker.as_view(), name="add_worker"),
    path("workers/<int:pk>/", work.worker, name="worker"),
    path("rates/enter/", work.SetRate.as_view(), name="set_worker_rate"),
    path("rates/<int:pk>/undo/", work.UndoRate.as_view(), name="undo_worker_rate"),
    path("work/", work.WorkEntries.as_view(), name="work_entries"),
    path("work/note/", work.NoteWork.as_view(), name="note_work"),
    path("work/<int:pk>/", work.work_entry, name="work_entry"),
    path("work/<int:pk>/undo/", work.UndoWork.as_view(), name="undo_work"),
    path("pay/", work.Pays.as_view(), name="pays"),
    path("pay/enter/", work.RecordPay.as_view(), name="record_pay"),
    path("pay/<int:pk>/", work.pay, name="pay"),
    path("pay/<int:pk>/undo/", work.UndoPay.as_view(), name="undo_pay"),
    path("purchases/", purchases.Purchases.as_view(), name="purchases"),
    path("purchases/enter/", purchases.RecordPurchase.as_view(), name="record_purchase"),
    path("purchases/<int:pk>/", purchases.purchase, name="purchase"),
    path("purchases/<int:pk>/undo/", purchases.UndoPurchase.as_view(), name="undo_purchase"),
    path("space/", purchases.YearsOfSpace.as_view(), name="years_of_space"),
    path("space/enter/", purchases.SetYearOfSpace.as_view(), name="set_year_of_space"),
    path("space/<int:pk>/undo/", purchases.UndoYearOfSpace.as_view(), name="undo_year_of_space"),
]
