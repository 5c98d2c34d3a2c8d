from django.contrib.auth.models import AbstractUser
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords


class Role(models.TextChoices):
    OWNER = "owner", _("Owner")
    OFFICE = "office", _("Office")
    CREW = "crew", _("Yard crew")
    GATE = "gate", _("Pickup hand")
    BOOKKEEPER = "bookkeeper", _("Bookkeeper")


class User(AbstractUser):
    """A person who signs in; the role decides which pages open (people.access)."""

    first_name = None  # type: ignore[assignment]
    last_name = None  # type: ignore[assignment]
    full_name = models.CharField(_("name"), max_length=120)
    role = models.CharField(_("role"), max_length=12, choices=Role.choices, default=Role.CREW)

    history = HistoricalRecords(excluded_fields=["password", "last_login"])

    REQUIRED_FIELDS = ["full_name", "role"]

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="user_role_is_known",
                condition=Q(role__in=Role.values),
                violation_error_message=_("Choose one of the roles."),
            ),
        ]

    def __str__(self) -> str:
        return self.full_name or self.username

    def get_full_name(self) -> str:
        return self.full_name

    def get_short_name(self) -> str:
        return self.full_name.split(" ")[0]

    @property
    def sees_prices(self) -> bool:
        """Crew records what the yards hold and never needs what things cost."""
        return self.role != Role.CREW

    @property
    def sign_in_word(self) -> str:
        return str(_("may sign in") if self.is_active else _("barred"))

    @property
    def sign_in_tone(self) -> str:
        return "good" if self.is_active else "quiet"
