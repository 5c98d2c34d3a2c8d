from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LoginView, PasswordChangeView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render, resolve_url
from django.utils.decorators import method_decorator
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import status_of
from apiary_ops.core.history import history_rows
from apiary_ops.core.tables import table_for
from apiary_ops.kernel.refusals import RuleBroken

from . import forms, queries, services, tables


@method_decorator(login_not_required, name="dispatch")
class SignIn(LoginView):
    template_name = "people/sign_in.html"
    form_class = forms.SignIn
    redirect_authenticated_user = True


class ChangePassword(PasswordChangeView):
    template_name = "people/password.html"

    def get_success_url(self) -> str:
        return resolve_url(settings.LOGIN_REDIRECT_URL)


@require_safe
def user_list(request: HttpRequest) -> HttpResponse:
    table = table_for(request, tables.UserTable, queries.users())
    return render(request, "people/user_list.html", {"table": table})


@require_http_methods(["GET", "POST"])
def add_user(request: HttpRequest) -> HttpResponse:
    form = forms.AddUser(request.POST or None)
    if form.is_valid():
        try:
            user = services.add_user(actor=request.user, **form.cleaned_data)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("%(name)s may now sign in.") % {"name": user})
            return redirect("people:list")
    return render(request, "people/user_form.html", {"form": form}, status=status_of(form))


@require_http_methods(["GET", "POST"])
def edit_user(request: HttpRequest, pk: int) -> HttpResponse:
    user = get_object_or_404(queries.users(), pk=pk)
    initial = {"full_name": user.full_name, "role": user.role, "is_active": user.is_active}
    form = forms.EditUser(request.POST or None, initial=initial)
    if form.is_valid():
        try:
            services.edit_user(user_id=user.pk, actor=request.user, **form.cleaned_data)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("Saved."))
            return redirect("people:list")
    context = {"form": form, "person": user, "history": history_rows(user)}
    return render(request, "people/user_form.html", context, status=status_of(form))
