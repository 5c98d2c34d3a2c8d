from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from apiary_ops.nucs.models import NucKind
from apiary_ops.orders.models import Line, Round


class Release(models.Model):
    """How many of a kind may be promised in a round; `promised` is kept by guards from order lines."""

    round = models.ForeignKey(Round, on_delete=models.PROTECT, related_name="releases")
    kind = models.ForeignKey(NucKind, on_delete=models.PROTECT, related_name="+")
    released = models.PositiveIntegerField(_("may be promised"), default=0)
    promised = models.PositiveIntegerField(_("promised"), default=0)
    # Nucs of this kind that would have to give way for this round to be kept in a late spring, as last worked out.
    short = models.PositiveIntegerField(_("at risk"), default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["round", "kind"], name="one_release_a_round_and_kind"),
            models.CheckConstraint(
                name="no_more_promised_than_released",
                condition=Q(promised__lte=F("released")),
                violation_error_message=_("No more of this kind may be promised in this round."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.promised} of {self.released}"


class Telling(models.Model):
    """What a buyer was told and how firmly. The latest stands; earlier ones stay for the record."""

    class Firmness(models.TextChoices):
        ROUND = "round", _("a round")
        WEEK = "week", _("a week")
        DAY = "day", _("a day")

    line = models.ForeignKey(Line, on_delete=models.PROTECT, related_name="tellings")
    firmness = models.CharField(_("how firmly"), max_length=5, choices=Firmness.choices)
    starts_on = models.DateField(_("from"))
    ends_before = models.DateField(_("before"))
    told_on = models.DateField(_("told on"))
    told_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    reason = models.CharField(_("why"), max_length=200, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(name="telling_ends_after_it_starts", condition=Q(ends_before__gt=F("starts_on"))),
        ]
        indexes = [models.Index(fields=["line", "-id"], name="telling_latest_of_a_line")]

    def __str__(self) -> str:
        return f"{self.firmness} {self.starts_on}"


class Override(models.Model):
    """A promise the owner made beyond the safe number, with the reason; it stays visible."""

    line = models.ForeignKey(Line, on_delete=models.PROTECT, related_name="overrides")
    nucs = models.PositiveIntegerField(_("nucs beyond the safe number"))
    reason = models.CharField(_("reason"), max_length=200)
    made_on = models.DateField(_("made on"))
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [models.CheckConstraint(name="override_says_why", condition=~Q(reason=""))]

    def __str__(self) -> str:
        return self.reason


class Wait(models.Model):
    """A line that asked for more than was safe: how much was, and the reason. The latest stands."""

    line = models.ForeignKey(Line, on_delete=models.PROTECT, related_name="waits")
    room = models.PositiveIntegerField(_("nucs that were safe"))
    reason = models.CharField(_("why it waits"), max_length=300)
    asked_on = models.DateField(_("asked on"))
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        constraints = [models.CheckConstraint(name="wait_says_why", condition=~Q(reason=""))]
        indexes = [models.Index(fields=["line", "-id"], name="wait_latest_of_a_line")]

    def __str__(self) -> str:
        return self.reason
