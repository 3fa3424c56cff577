"""The addresses of drying."""

from django.urls import path

from .views import hangings, lost, places, readings, rounds

app_name = "drying"
urlpatterns = [
    path("hangings/", hangings.Hangings.as_view(), name="hangings"),
    path("hangings/<int:pk>/", hangings.hanging, name="hanging"),
    path("hangings/<int:pk>/take-down/", hangings.TakeDown.as_view(), name="take_down"),
    path("hangings/<int:pk>/disaster/", lost.MarkDisaster.as_view(), name="mark_disaster"),
    path("hangings/<int:pk>/move/", hangings.MoveHanging.as_view(), name="move_hanging"),
    path("hangings/<int:pk>/trial/", lost.MarkTrial.as_view(), name="mark_trial"),
    path("hangings/<int:pk>/oddments/", lost.KeepOddments.as_view(), name="keep_oddments"),
    path("hangings/<int:pk>/undo/", hangings.UndoHanging.as_view(), name="undo_hanging"),
    path("due-down/", rounds.due, name="due_down"),
    path("hang/", hangings.Hang.as_view(), name="hang"),
    path("hang/<int:pk>/", hangings.Hang.as_view(), name="hang"),
    path("takings-down/", hangings.TakingsDown.as_view(), name="takings_down"),
    path("takings-down/<int:pk>/", hangings.taking_down, name="taking_down"),
    path("takings-down/<int:pk>/undo/", hangings.UndoTakingDown.as_view(), name="undo_taking_down"),
    path("oddments/", lost.OddmentsKept.as_view(), name="oddments"),
    path("oddments/<int:pk>/undo/", lost.UndoOddments.as_view(), name="undo_oddments"),
    path("disasters/<int:pk>/undo/", lost.UndoDisaster.as_view(), name="undo_disaster"),
    path("places/", places.Places.as_view(), name="places"),
    path("places/add/", places.AddPlace.as_view(), name="add_place"),
    path("places/<int:pk>/", places.place, name="place"),
    path("places/<int:pk>/round/", rounds.TakeDownRound.as_view(), name="take_down_round"),
    path("places/<int:pk>/rename/", places.RenamePlace.as_view(), name="rename_place"),
    path("places/<int:pk>/read/", readings.NoteReading.as_view(), name="note_reading"),
    path("readings/", readings.Readings.as_view(), name="readings"),
    path("readings/<int:pk>/undo/", readings.UndoReading.as_view(), name="undo_reading"),
    path("damp-limits/", readings.DampLimits.as_view(), name="damp_limits"),
    path("damp-limits/set/", readings.SetDampLimit.as_view(), name="set_damp_limit"),
    path("damp-limits/<int:pk>/undo/", readings.UndoDampLimit.as_view(), name="undo_damp_limit"),
    path("usual-losses/", places.LossNorms.as_view(), name="loss_norms"),
    path("usual-losses/enter/", places.SetLossNorm.as_view(), name="set_loss_norm"),
    path("usual-losses/<int:pk>/undo/", places.UndoLossNorm.as_view(), name="undo_loss_norm"),
]
