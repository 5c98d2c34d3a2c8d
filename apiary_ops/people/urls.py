from django.contrib.auth.views import LogoutView
from django.urls import path

from . import views

app_name = "people"
urlpatterns = [
    path("sign-in/", views.SignIn.as_view(), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("people/", views.user_list, name="list"),
    path("people/add/", views.add_user, name="add"),
    path("people/<int:pk>/", views.edit_user, name="edit"),
    path("people/password/", views.ChangePassword.as_view(), name="password"),
]
