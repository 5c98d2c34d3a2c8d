from django.urls import path

from . import views

app_name = "margin"
urlpatterns = [
    path("", views.season_margin, name="season"),
]
