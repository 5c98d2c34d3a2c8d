from django.urls import path

from . import views

app_name = "capacity"
urlpatterns = [
    path("", views.overview, name="overview"),
    path("recompute/", views.recompute, name="recompute"),
    path("assumptions/", views.edit_assumptions, name="assumptions"),
    path("swarm-watch/", views.swarm_watch, name="swarm-watch"),
    path("own-factors/", views.own_factors, name="own-factors"),
    path("own-factors/accept/", views.accept_own_factor, name="own-factor-accept"),
    path("weeks/", views.edit_weeks, name="weeks"),
]
