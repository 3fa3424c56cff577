"""The addresses of stock."""

from django.urls import path

from .views import book, boxes, counts, holds, lines, runs

app_name = "stock"
urlpatterns = [
    path("lines/", lines.Lines.as_view(), name="lines"),
    path("lines/add/", lines.AddLine.as_view(), name="add_line"),
    path("lines/<int:pk>/", lines.line, name="line"),
    path("batches/", lines.Batches.as_view(), name="batches"),
    path("batches/<int:pk>/", lines.batch, name="batch"),
    path("runs/", runs.Runs.as_view(), name="runs"),
    path("runs/make/", runs.MakeRun.as_view(), name="make_run"),
    path("runs/<int:pk>/", runs.run, name="run"),
    path("runs/<int:pk>/undo/", runs.UndoRun.as_view(), name="undo_run"),
    path("boxes/", boxes.Boxes.as_view(), name="boxes"),
    path("boxes/new/", boxes.NewBox.as_view(), name="new_box"),
    path("boxes/find/", boxes.find_box, name="find_box"),
    path("boxes/<int:pk>/", boxes.box, name="box"),
    path("boxes/<int:pk>/label/", boxes.label, name="label"),
    path("boxes/<int:pk>/change/", boxes.ChangeBox.as_view(), name="change_box"),
    path("boxes/<int:pk>/count/", counts.CountBox.as_view(), name="count_box"),
    path("counts/", counts.Counts.as_view(), name="counts"),
    path("counts/<int:pk>/", counts.count, name="count"),
    path("counts/<int:pk>/undo/", counts.UndoCount.as_view(), name="undo_count"),
    path("book/", book.Movements.as_view(), name="movements"),
    path("book/<int:pk>/", book.movement, name="movement"),
    path("book/<int:pk>/undo/", book.UndoMovement.as_view(), name="undo_movement"),
    path("book/move/", book.Move.as_view(), name="move"),
    path("book/draw/", book.Draw.as_view(), name="draw"),
    path("book/write-off/", book.WriteOff.as_view(), name="write_off"),
    path("holds/", holds.Holds.as_view(), name="holds"),
    path("holds/keep/", holds.Keep.as_view(), name="keep"),
    path("holds/<int:pk>/", holds.hold, name="hold"),
    path("holds/<int:pk>/more/", holds.HoldMore.as_view(), name="hold_more"),
    path("holds/<int:pk>/give-back/", holds.Release.as_view(), name="release"),
    path("holds/<int:pk>/fill-again/", holds.FillAgain.as_view(), name="fill_again"),
]
