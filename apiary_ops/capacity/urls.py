from django.urls import path

from . import views

app_name = "capacity"
urlpatterns = [
    path("", views.overview, name="overview"),
    path("recompute/", views.recompute, name="recompute"),
    path("assumptions/", views.edit_assumptions, name="assumptions"),
    path("swarm-watch/", views.swarm_watch, name="swarm-watch"),
    path("weeks/", views.edit_weeks, name="weeks"),
]
