from django.db.models import QuerySet

from .models import User


def users() -> QuerySet[User]:
    """Everyone who signs in or once did, by name."""
    return User.objects.order_by("full_name", "id")
