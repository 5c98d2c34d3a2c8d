from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from .guards import RECORD_PATHS


class Record(models.Model):
    """One fact as a phone sent it, once by its key, and what became of it here.

    `payload` is what was sent, by the rules of `kind` and `payload_version`. `parent` is the key of the record it
    hangs on (a look on its visit), which may not have landed yet. `result` is a Ref to what it made.
    """

    class State(models.TextChoices):
        WAITING = "waiting", _("waits for what it hangs on")
        QUESTION = "question", _("someone else said otherwise")
        REFUSED = "refused", _("refused by a rule")
        LANDED = "landed", _("landed")
        DROPPED = "dropped", _("set aside")

    PATHS = RECORD_PATHS

    key = models.UUIDField(primary_key=True, editable=False)
    kind = models.CharField(_("what"), max_length=20)
    payload_version = models.PositiveSmallIntegerField(default=1)
    payload = models.JSONField()
    parent = models.UUIDField(null=True, blank=True)
    device = models.UUIDField(_("phone"))
    observed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", verbose_name=_("observed by")
    )
    observed_at = models.DateTimeField(_("observed at"))
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", verbose_name=_("sent by")
    )
    received_at = models.DateTimeField(_("received at"))
    state = models.CharField(_("state"), max_length=8, choices=State.choices, default=State.WAITING)
    result = models.CharField(max_length=60, blank=True)
    # Why it was refused, or what the question is, in words.
    words = models.CharField(_("why"), max_length=500, blank=True)
    settled_at = models.DateTimeField(_("settled at"), null=True, blank=True)
    settled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    settled_because = models.CharField(_("how it was settled"), max_length=200, blank=True)

    class Meta:
        indexes = [
            models.Index(fields=["parent"], name="record_by_parent"),
            models.Index(fields=["result"], condition=~Q(result=""), name="record_by_result"),
            models.Index(
                fields=["received_at"],
                condition=Q(state__in=["waiting", "question", "refused"]),
                name="records_to_settle",
            ),
        ]
        constraints = [
            models.CheckConstraint(
                name="a_settled_record_says_who",
                condition=Q(settled_at__isnull=True, settled_by__isnull=True)
                | Q(settled_at__isnull=False, settled_by__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.key}"
