from django.contrib.auth.password_validation import validate_password
from django.contrib.sessions.models import Session
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from apiary_ops.core.history import sign
from apiary_ops.kernel.refusals import RuleBroken

from .models import Role, User


class UsernameTaken(RuleBroken):
    pass


class LastOwner(RuleBroken):
    pass


class WeakPassword(RuleBroken):
    pass


@transaction.atomic
def add_user(*, username: str, full_name: str, role: str, password: str, actor: User | None) -> User:
    """A new person who may sign in. Raises UsernameTaken or WeakPassword."""
    if User.objects.filter(username__iexact=username).exists():
        raise UsernameTaken(
            _("Someone already signs in as %(username)s. Choose another sign-in name.") % {"username": username}
        )
    user = User(username=username, full_name=full_name, role=role, is_superuser=False)
    _set_password(user, password)
    sign(user, actor)
    user.full_clean(exclude=["password"])
    user.save()
    return user


@transaction.atomic
def edit_user(*, user_id: int, full_name: str, role: str, is_active: bool, password: str, actor: User) -> User:
    """Change a person's name, role or password, or bar the door; barring or a new password ends their sessions."""
    user = User.objects.select_for_update(no_key=True).get(pk=user_id)
    losing_owner = user.role == Role.OWNER and user.is_active and (role != Role.OWNER or not is_active)
    if losing_owner and not _other_owners(user).exists():
        raise LastOwner(_("This is the only owner who can sign in. Make someone else an owner first."))
    user.full_name, user.role, user.is_active = full_name, role, is_active
    if password:
        _set_password(user, password)
    sign(user, actor)
    user.save()
    if password or not is_active:
        end_sessions(user)
    return user


def end_sessions(user: User) -> None:
    """Sign a person out everywhere (ASVS 5.0: 7.4.2)."""
    for session in Session.objects.filter(expire_date__gt=timezone.now()):
        if session.get_decoded().get("_auth_user_id") == str(user.pk):
            session.delete()


def _other_owners(user: User) -> QuerySet[User]:
    # Locked in pk order, so that two owners cannot demote each other at once.
    owners = User.objects.select_for_update(no_key=True).order_by("pk")
    return owners.filter(role=Role.OWNER, is_active=True).exclude(pk=user.pk)


def _set_password(user: User, password: str) -> None:
    try:
        validate_password(password, user)
    except ValidationError as trouble:
        raise WeakPassword(" ".join(trouble.messages)) from trouble
    user.set_password(password)
