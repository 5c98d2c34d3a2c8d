from django.urls import path

from . import views

app_name = "allocation"
urlpatterns = [
    path("", views.plan_page, name="plan"),
    path("propose/", views.propose, name="propose"),
    path("plans/<int:pk>/", views.plan_detail, name="plan-detail"),
    path("plans/<int:pk>/accept/", views.accept, name="accept"),
    path("weeks/", views.weeks_page, name="weeks"),
    path("pins/", views.pin_list, name="pin-list"),
    path("pins/add/", views.add_pin, name="pin-add"),
    path("pins/<int:pk>/remove/", views.remove_pin, name="pin-remove"),
]
