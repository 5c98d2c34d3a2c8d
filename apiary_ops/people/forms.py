from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.forms import LedgerForm

from .models import Role


class SignIn(AuthenticationForm):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = _("Sign-in name")


class AddUser(LedgerForm):
    username = forms.SlugField(label=_("Sign-in name"), max_length=60)
    full_name = forms.CharField(label=_("Name"), max_length=120)
    role = forms.ChoiceField(label=_("Role"), choices=Role.choices, initial=Role.CREW)
    password = forms.CharField(
        label=_("Password"),
        min_length=12,
        max_length=128,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text=_("At least 12 characters; a short sentence is easier to remember and harder to guess."),
    )


class EditUser(LedgerForm):
    full_name = forms.CharField(label=_("Name"), max_length=120)
    role = forms.ChoiceField(label=_("Role"), choices=Role.choices)
    is_active = forms.BooleanField(label=_("May sign in"), required=False)
    password = forms.CharField(
        label=_("New password"),
        required=False,
        min_length=12,
        max_length=128,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text=_("Leave empty to keep the one they have."),
    )
