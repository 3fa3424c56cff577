"""Hangings, what came down of them, what was lost, and what was kept of the lost."""

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject, Fact
from ledger.growing.models import Parting

from ..queries import HangingQuerySet, OddmentsQuerySet, TakingDownQuerySet
from .places import Place


class Hanging(Fact):
    """Part of a lot put up in one drying place on one day.

    `parting` is the movement out of the lot; `stems` repeats its number, so
    that the balance of a hanging is one row. `room` is what it takes of the
    place, in the place's unit, until nothing of it is up. Stems moved to
    another place are a hanging of their own: of the same parting, `moved_from`
    the one they left. `bunch_stems`: hung as bunches of so many, None loose or
    in bundles. `trial`: unusual material, left out of what is learnt.
    """

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="hanging")
    parting = models.ForeignKey(Parting, models.PROTECT, related_name="hangings")
    moved_from = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="moved_to")
    place = models.ForeignKey(Place, models.PROTECT, related_name="hangings")
    stems = models.PositiveIntegerField(_("stems"))
    bundles = models.PositiveIntegerField(_("bundles"), null=True, blank=True)
    bunch_stems = models.PositiveIntegerField(
        _("stems in each bunch"), null=True, blank=True, validators=[MinValueValidator(1)]
    )
    room = models.PositiveIntegerField(_("room taken"), default=1, validators=[MinValueValidator(1)])
    trial = models.BooleanField(_("trial"), default=False)

    objects = HangingQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(stems__gte=1), name="hanging_stems_positive"),
            models.CheckConstraint(condition=Q(room__gte=1), name="hanging_room_positive"),
            models.CheckConstraint(
                condition=Q(bunch_stems__isnull=True) | Q(bunch_stems__gte=1), name="hanging_bunch_stems_positive"
            ),
            models.UniqueConstraint(
                fields=["parting"], condition=Q(moved_from__isnull=True, undone_at__isnull=True),
                name="hanging_of_parting_once",
            ),
        ]

    def __str__(self) -> str:
        words = _("%(variety)s moved %(on)s to %(place)s") if self.moved_from_id else _("%(variety)s hung %(on)s in %(place)s")
        return str(words) % {"variety": self.parting.lot.planting.variety, "on": self.on, "place": self.place}

    def get_absolute_url(self) -> str:
        return reverse("drying:hanging", args=[self.pk])

    @property
    def bunches_up(self) -> int:
        """Whole bunches among the stems up, of a hanging of bunches read with `stems_up`."""
        return self.stems_up // (self.bunch_stems or 1)


class TakingDown(Fact):
    """Stems of one hanging taken down on one day.

    `stems` counts all that came down, `sound` those fit to bunch. `dried_g` is
    the sound stems' weight in whole grams, None where nobody weighed them.
    """

    hanging = models.ForeignKey(Hanging, models.PROTECT, related_name="takings")
    stems = models.PositiveIntegerField(_("stems taken down"), validators=[MinValueValidator(1)])
    sound = models.PositiveIntegerField(_("sound stems"))
    dried_g = models.PositiveIntegerField(_("weight of the sound stems (g)"), null=True, blank=True)

    objects = TakingDownQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(sound__lte=F("stems")),
                name="taking_down_sound_within_stems",
                violation_error_message=_("More stems are sound than came down."),
            ),
            models.CheckConstraint(condition=Q(stems__gte=1), name="taking_down_stems_positive"),
        ]

    def __str__(self) -> str:
        return str(_("%(stems)d taken down %(on)s of %(hanging)s")) % {
            "stems": self.stems, "on": self.on, "hanging": self.hanging,
        }

    def get_absolute_url(self) -> str:
        return reverse("drying:taking_down", args=[self.pk])


class Loss(models.Model):
    """Stems of one taking down that were not sound, by reason."""

    class Reason(models.TextChoices):
        MOULD = "mould", _("mould")
        SHATTERED = "shattered", _("shattered")
        BLOWN = "blown", _("blown (opened too far)")
        FADED = "faded", _("faded")
        CRUSHED = "crushed", _("crushed")
        INSECTS = "insects", _("insects")
        DROPPED = "dropped", _("dropped")
        OTHER = "other", _("other")

    part_of = "taking"
    taking = models.ForeignKey(TakingDown, models.PROTECT, related_name="losses")
    reason = models.CharField(_("reason"), max_length=10, choices=Reason)
    stems = models.PositiveIntegerField(_("stems lost"), validators=[MinValueValidator(1)])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["taking", "reason"], name="loss_reason_once"),
            models.CheckConstraint(condition=Q(stems__gte=1), name="loss_stems_positive"),
            models.CheckConstraint(
                condition=Q(
                    reason__in=["mould", "shattered", "blown", "faded", "crushed", "insects", "dropped", "other"]
                ),
                name="loss_reason_known",
            ),
        ]


class Oddments(Fact):
    """Stems kept of those a hanging lost: petals, short pieces, faded heads.

    `value`: what all of them are worth as scrap, in minor units without tax.
    """

    hanging = models.ForeignKey(Hanging, models.PROTECT, related_name="oddments")
    stems = models.PositiveIntegerField(_("stems kept"), validators=[MinValueValidator(1)])
    value = models.PositiveBigIntegerField(_("worth as scrap"))

    objects = OddmentsQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(stems__gte=1), name="oddments_stems_positive"),
        ]

    def __str__(self) -> str:
        return str(_("%(stems)d oddments of %(hanging)s")) % {"stems": self.stems, "hanging": self.hanging}

    def get_absolute_url(self) -> str:
        return self.hanging.get_absolute_url()
