from django.urls import path

from . import views

app_name = "promise"
urlpatterns = [
    path("", views.take_order, name="take-order"),
    path("waitlist/", views.waitlist, name="waitlist"),
    path("in-turn/", views.promise_in_turn, name="in-turn"),
    path("lines/<int:pk>/", views.promise_line, name="promise-line"),
    path("lines/<int:pk>/override/", views.override_line, name="override-line"),
    path("lines/<int:pk>/tell/", views.tell, name="tell"),
]
