"""The addresses of the daybook."""

from django.urls import path

from .views import clock, materials, purchases, week, work

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
    path("week/", week.NoteWeek.as_view(), name="note_week"),
    path("clock/", clock.clocks, name="clocks"),
    path("clock/start/", clock.StartClock.as_view(), name="start_clock"),
    path("clock/<int:pk>/stop/", clock.StopClock.as_view(), name="stop_clock"),
    path("clock/<int:pk>/drop/", clock.DropClock.as_view(), name="drop_clock"),
    path("pay/", work.Pays.as_view(), name="pays"),
    path("pay/enter/", work.RecordPay.as_view(), name="record_pay"),
    path("pay/<int:pk>/", work.pay, name="pay"),
    path("pay/<int:pk>/undo/", work.UndoPay.as_view(), name="undo_pay"),
    path("purchases/", purchases.Purchases.as_view(), name="purchases"),
    path("purchases/enter/", purchases.RecordPurchase.as_view(), name="record_purchase"),
    path("purchases/<int:pk>/", purchases.purchase, name="purchase"),
    path("purchases/<int:pk>/undo/", purchases.UndoPurchase.as_view(), name="undo_purchase"),
    path("materials/", materials.Materials.as_view(), name="materials"),
    path("materials/add/", materials.AddMaterial.as_view(), name="add_material"),
    path("materials/use/", materials.UseMaterial.as_view(), name="use_material"),
    path("materials/count/", materials.CountMaterial.as_view(), name="count_material"),
    path("materials/<int:pk>/", materials.material, name="material"),
    path("materials/<int:pk>/name/", materials.RenameMaterial.as_view(), name="rename_material"),
    path("materials/used/<int:pk>/undo/", materials.UndoMaterialUse.as_view(), name="undo_material_use"),
    path("materials/counted/<int:pk>/undo/", materials.UndoMaterialCount.as_view(), name="undo_material_count"),
    path("space/", purchases.YearsOfSpace.as_view(), name="years_of_space"),
    path("space/enter/", purchases.SetYearOfSpace.as_view(), name="set_year_of_space"),
    path("space/<int:pk>/undo/", purchases.UndoYearOfSpace.as_view(), name="undo_year_of_space"),
]
