"""Time spent, what each hour costs, and the clock."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject, Fact

from ..queries import WorkEntryQuerySet, WorkerQuerySet


class Worker(models.Model):
    """A person whose hours are noted; unpaid hours (the proprietor's) are notional."""

    name = models.CharField(_("name"), max_length=80, unique=True)
    paid = models.BooleanField(_("is paid wages"), default=True)
    user = models.OneToOneField(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="worker"
    )

    objects = WorkerQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("daybook:worker", args=[self.pk])


class WorkerRate(Fact):
    """What an hour of one worker costs from a day on, in minor units."""

    worker = models.ForeignKey(Worker, models.PROTECT, related_name="rates")
    per_hour = models.PositiveBigIntegerField(_("cost of an hour"))

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("Rate of %(worker)s from %(on)s")) % {"worker": self.worker, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.worker.get_absolute_url()


class Pay(Fact):
    """Wages paid to one worker for a stretch of days, in minor units; `on` is the day paid."""

    worker = models.ForeignKey(Worker, models.PROTECT, related_name="pays")
    first_day = models.DateField(_("from"))
    last_day = models.DateField(_("to and including"))
    amount = models.PositiveBigIntegerField(_("amount"))

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(last_day__gte=F("first_day")),
                name="pay_stretch_forward",
                violation_error_message=_("The last day paid for lies before the first."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Pay of %(worker)s, %(on)s")) % {"worker": self.worker, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("daybook:pay", args=[self.pk])


class WorkEntry(Fact):
    """Whole minutes one worker spent on one day at one task, on one or several things."""

    class Task(models.TextChoices):
        GROWING = "growing", _("sowing, planting, weeding, watering")
        CUTTING = "cutting", _("cutting")
        HANGING = "hanging", _("hanging and taking down")
        BUNCHING = "bunching", _("bunching and boxing")
        SELLING = "selling", _("selling, packing, delivering")
        UPKEEP = "upkeep", _("upkeep of plot, place or store")
        OFFICE = "office", _("office and all else")

    worker = models.ForeignKey(Worker, models.PROTECT, related_name="entries")
    minutes = models.PositiveIntegerField(
        _("minutes"), validators=[MinValueValidator(1), MaxValueValidator(24 * 60)]
    )
    task = models.CharField(_("task"), max_length=10, choices=Task)
    note = models.CharField(_("note"), max_length=200, blank=True)

    objects = WorkEntryQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(minutes__gte=1, minutes__lte=1440),
                name="work_entry_within_a_day",
                violation_error_message=_("Between one minute and twenty-four hours, please."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(minutes)d min %(task)s, %(worker)s, %(on)s")) % {
            "minutes": self.minutes, "task": self.get_task_display(), "worker": self.worker, "on": self.on,
        }

    def get_absolute_url(self) -> str:
        return reverse("daybook:work_entry", args=[self.pk])


class WorkShare(models.Model):
    """The part of a work entry borne by one thing, by whole-number weight."""

    part_of = "entry"
    entry = models.ForeignKey(WorkEntry, models.PROTECT, related_name="shares")
    spent_on = models.ForeignKey(CostObject, models.PROTECT, related_name="work_shares")
    weight = models.PositiveBigIntegerField(default=1, validators=[MinValueValidator(1)])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["entry", "spent_on"], name="work_share_once"),
            models.CheckConstraint(condition=Q(weight__gte=1), name="work_share_weight_positive"),
        ]


class Clock(models.Model):
    """A clock started by one worker on a task; while `stopped_at` is NULL it runs.

    No fact: it becomes entries of work when it is stopped, or nothing when it
    is dropped.
    """

    worker = models.ForeignKey(Worker, models.PROTECT, related_name="clocks")
    task = models.CharField(_("task"), max_length=10, choices=WorkEntry.Task)
    started_at = models.DateTimeField(_("started at"))
    stopped_at = models.DateTimeField(_("stopped at"), null=True, blank=True)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["worker"],
                condition=Q(stopped_at__isnull=True),
                name="clock_one_running",
                violation_error_message=_("A clock already runs for that worker; stop it first."),
            ),
            models.CheckConstraint(
                condition=Q(stopped_at__isnull=True) | Q(stopped_at__gte=F("started_at")),
                name="clock_stops_after_start",
                violation_error_message=_("A clock stops after it was started."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Clock of %(worker)s, %(task)s")) % {"worker": self.worker, "task": self.get_task_display()}

    def get_absolute_url(self) -> str:
        return reverse("daybook:clocks")


class ClockThing(models.Model):
    """One thing that the time of a clock goes to."""

    clock = models.ForeignKey(Clock, models.PROTECT, related_name="things")
    spent_on = models.ForeignKey(CostObject, models.PROTECT, related_name="clock_things")

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["clock", "spent_on"], name="clock_thing_once")]
