"""Forms of boxes: what goes in and out of them, and counting them."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, NoDayForm, VerbForm
from ledger.facts.ruled import RuledForm
from ledger.reckoning.box_ids import normalise, valid
from ledger.stock.models import Batch, Box, Content
from ledger.stock.queries.drawing import DRAWN_FOR, OTHERWISE


class BoxChoice(forms.ModelChoiceField):
    """A box on a shelf."""

    def label_from_instance(self, box: Any) -> str:
        return f"{box.code} · {box.shelf}" if box.shelf else box.code


class ContentChoice(forms.ModelChoiceField):
    """Bunches of a batch where they lie."""

    def label_from_instance(self, content: Any) -> str:
        return str(
            _("%(bunches)d × %(line)s of %(on)s, %(where)s")
            % {
                "bunches": content.bunches, "line": content.batch.line, "on": content.batch.on,
                "where": content.box.code if content.box else _("not yet boxed"),
            }
        )


class NewBoxForm(NoDayForm):
    """Where a new box stands; its id is given by the ledger."""

    shelf = forms.CharField(label=_("Shelf"), max_length=40, required=False)
    note = forms.CharField(label=_("Note"), max_length=120, required=False)


class ShelfRoomForm(VerbForm):
    """For how many bunches a shelf has room."""

    shelf = forms.CharField(label=_("Shelf"), max_length=40)
    bunches = forms.IntegerField(label=_("Room for how many bunches"), min_value=1, max_value=100_000)
    field_order = ["shelf", "bunches", "on"]


class BoxForm(NewBoxForm):
    """Another shelf or note for a box; the hidden fields keep what the form showed."""

    seen_shelf = forms.CharField(widget=forms.HiddenInput, required=False)
    seen_note = forms.CharField(widget=forms.HiddenInput, required=False)


class HoldBackForm(VerbForm):
    """Until when a box is held back, and why."""

    why = forms.CharField(label=_("Why"), max_length=120)
    until = DayField(label=_("Until"), help_text=_("The last day on which it is not offered."))
    field_order = ["why", "until", "on"]


class FromContentForm(VerbForm):
    """So many bunches of what lies somewhere; `places` narrows what is offered."""

    content = ContentChoice(queryset=Content.objects.none(), label=_("Which"))
    bunches = forms.IntegerField(label=_("How many"), min_value=1, max_value=1_000_000)

    def __init__(self, *args: Any, places: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["content"].queryset = places  # type: ignore[attr-defined]
        only = list(places[:2])
        if len(only) == 1:
            self.fields["content"].empty_label = None  # type: ignore[attr-defined]

    def given(self) -> dict[str, Any]:
        """The cleaned fields, with the batch and box the content stands for."""
        given = super().given()
        content = given.pop("content")
        return {**given, "batch": content.batch, "box": content.box}


class MoveForm(FromContentForm):
    """Bunches from where they lie into a box."""

    target = BoxChoice(
        queryset=Box.objects.on_shelves(), label=_("Into the box"), required=False, empty_label=_("none: not yet boxed")
    )
    field_order = ["content", "bunches", "target", "on"]

    def __init__(self, *args: Any, way: str = "", **given: Any) -> None:
        """`way`: "out" of the box, to be not yet boxed; "move" into another box; else either."""
        super().__init__(*args, **given)
        target = self.fields["target"]
        if way == "out":
            target.widget = forms.HiddenInput()
            target.queryset = Box.objects.none()  # type: ignore[attr-defined]
        elif way == "move":
            target.required, target.empty_label = True, _("which box?")  # type: ignore[attr-defined]

    def given(self) -> dict[str, Any]:
        given = super().given()
        given["source"] = given.pop("box")
        return given


class TakeOutForm(FromContentForm):
    """Bunches that leave without being sold, and why."""

    reason = forms.CharField(label=_("Why"), max_length=120)
    field_order = ["content", "bunches", "reason", "on"]


class DrawForm(TakeOutForm):
    """Bunches drawn and never sold: for what, and more in words."""

    what_for = forms.ChoiceField(label=_("For what"), choices=DRAWN_FOR)
    reason = forms.CharField(label=_("In words"), max_length=100, required=False)
    field_order = ["content", "bunches", "what_for", "reason", "on"]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if given.get("what_for") == OTHERWISE and not given.get("reason"):
            self.add_error("reason", ValidationError(_("Say in words what for."), code="no_reason"))
        return given

    def given(self) -> dict[str, Any]:
        """The cleaned fields, the reason begun with what they were drawn for."""
        given = super().given()
        given["reason"] = ": ".join(one for one in (given.pop("what_for"), given["reason"]) if one)
        return given


class TakeBackForm(VerbForm):
    """How many of what was drawn came back, and into which box."""

    bunches = forms.IntegerField(label=_("How many"), min_value=1, max_value=1_000_000)
    box = BoxChoice(
        queryset=Box.objects.on_shelves(), label=_("Into the box"), required=False, empty_label=_("none: not yet boxed")
    )
    field_order = ["bunches", "box", "on"]


class CountForm(RuledForm):
    """What was counted in a box, batch by batch; an empty field was not counted."""

    numbers = ("counted_",)

    other = forms.ModelChoiceField(
        queryset=Batch.objects.none(), label=_("Something else was in it"), required=False
    )
    other_counted = forms.IntegerField(label=_("How many of that"), min_value=1, required=False)
    note = forms.CharField(label=_("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, contents: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.contents = list(contents)
        self.fields["other"].queryset = Batch.objects.standing().whole().order_by("-on", "-pk")  # type: ignore[attr-defined]
        for content in self.contents:
            self.fields[f"counted_{content.batch_id}"] = forms.IntegerField(
                label=f"{content.batch.line}, {content.batch.on}", min_value=0, max_value=1_000_000, required=False,
                help_text=_("The record says %(n)d.") % {"n": content.bunches},
            )
        self.order_fields([*(f"counted_{content.batch_id}" for content in self.contents), "other", "other_counted", "note", "on"])

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if bool(given.get("other")) != bool(given.get("other_counted")):
            self.add_error("other_counted", ValidationError(_("Name the batch and how many."), code="half"))
        if given.get("other") in [content.batch for content in self.contents]:
            self.add_error("other", ValidationError(_("That batch has a row of its own above."), code="twice"))
        if not self.errors and not self.counted():
            raise ValidationError(_("Give at least one number."), code="nothing_counted")
        return given

    def counted(self) -> dict[Batch, int]:
        """Bunches counted by batch."""
        given = self.cleaned_data
        numbers = {content.batch: given.get(f"counted_{content.batch_id}") for content in self.contents}
        counted = {batch: number for batch, number in numbers.items() if number is not None}
        if given.get("other"):
            counted[given["other"]] = given["other_counted"]
        return counted


class FindBoxForm(forms.Form):
    """A box id as typed or scanned."""

    id = forms.CharField(label=_("Box id"), max_length=12)

    def clean_id(self) -> Box:
        code = normalise(self.cleaned_data["id"])
        if len(code) != 5 or not valid(code):
            raise ValidationError(
                _("%(code)s is no box id: a character is wrong or two changed places. Look at the label again."),
                code="mistyped", params={"code": code},
            )
        box = Box.objects.filter(code=code).first()
        if box is None:
            raise ValidationError(_("No box %(code)s has been begun here."), code="no_box", params={"code": code})
        return box


class SplitBoxForm(RuledForm):
    """How many of each batch in a box go into another one, or into a new one."""

    numbers = ("n_",)
    target = BoxChoice(queryset=Box.objects.none(), label=_("Into the box"), required=False, empty_label=_("a new box"))
    shelf = forms.CharField(label=_("Shelf of the new box"), max_length=40, required=False)

    def __init__(self, *args: Any, box: Box, contents: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.contents = list(contents)
        self.fields["target"].queryset = Box.objects.on_shelves().exclude(pk=box.pk)  # type: ignore[attr-defined]
        self.fields["shelf"].initial = box.shelf
        for content in self.contents:
            self.number(f"n_{content.batch_id}", str(content.batch), help_text=_("%(n)d are in it.") % {"n": content.bunches})
        self.order_fields([*(f"n_{content.batch_id}" for content in self.contents), "target", "shelf", "on"])

    def bunches(self) -> dict[Batch, int]:
        """Bunches that go by batch."""
        numbers = {content.batch: self.cleaned_data.get(f"n_{content.batch_id}") for content in self.contents}
        return {batch: number for batch, number in numbers.items() if number}


class PutTogetherForm(VerbForm):
    """The box everything goes into."""

    target = BoxChoice(queryset=Box.objects.none(), label=_("Everything into the box"), empty_label=_("which box?"))
    field_order = ["target", "on"]

    def __init__(self, *args: Any, box: Box, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["target"].queryset = Box.objects.on_shelves().exclude(pk=box.pk)  # type: ignore[attr-defined]
