from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from .guards import IMPORT_PATHS


class ImportRun(models.Model):
    """A file someone gave to import, and what became of it. Its bytes are kept until it is imported."""

    class State(models.TextChoices):
        READ = "read", _("read, not yet imported")
        DONE = "done", _("imported")
        UNDONE = "undone", _("undone")

    class DayOrder(models.TextChoices):
        UNSAID = "", _("not said: what could be two days is refused")
        DAY = "day", _("the day first, as in 3/4/2027 for 3 April")
        MONTH = "month", _("the month first, as in 4/3/2027 for 3 April")

    PATHS = IMPORT_PATHS

    kind = models.CharField(_("what it holds"), max_length=20)
    file_name = models.CharField(_("file"), max_length=120)
    sha256 = models.CharField(max_length=64)
    content = models.BinaryField(blank=True, default=b"")
    # {"tag": "Hive no.", ...}: our column -> the file's column.
    columns = models.JSONField(default=dict, blank=True)
    sheet = models.CharField(_("sheet"), max_length=120, blank=True)
    day_order = models.CharField(
        _("days written in numbers"), max_length=5, blank=True, choices=DayOrder.choices, default=DayOrder.UNSAID
    )
    state = models.CharField(_("state"), max_length=6, choices=State.choices, default=State.READ)
    rows = models.PositiveIntegerField(_("rows"), default=0)
    given_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    given_at = models.DateTimeField(_("given at"))
    done_at = models.DateTimeField(_("imported at"), null=True, blank=True)
    undone_at = models.DateTimeField(_("undone at"), null=True, blank=True)
    undone_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="an_import_says_when_it_was_done",
                condition=Q(state="read", done_at__isnull=True) | (~Q(state="read") & Q(done_at__isnull=False)),
            ),
            models.CheckConstraint(
                name="an_undone_import_says_who",
                condition=Q(state="undone", undone_at__isnull=False, undone_by__isnull=False)
                | (~Q(state="undone") & Q(undone_at__isnull=True, undone_by__isnull=True)),
            ),
        ]

    def __str__(self) -> str:
        return self.file_name

    @property
    def is_done(self) -> bool:
        return self.state == self.State.DONE
