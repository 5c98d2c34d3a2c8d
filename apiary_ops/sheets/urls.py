from django.urls import path

from . import views

app_name = "sheets"
urlpatterns = [
    path("", views.run_list, name="list"),
    path("files/<int:pk>/", views.run_page, name="run"),
    path("files/<int:pk>/import/", views.carry_out, name="carry-out"),
    path("files/<int:pk>/undo/", views.undo, name="undo"),
    path("files/<int:pk>/forget/", views.forget, name="forget"),
    path("<slug:kind>/give/", views.give, name="give"),
    path("<slug:kind>/template/", views.template, name="template"),
    path("<slug:kind>/save/", views.save, name="save"),
]
