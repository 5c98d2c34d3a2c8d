from django.urls import path

from . import views

app_name = "books"
urlpatterns = [
    path("entries/<int:pk>/", views.entry_page, name="entry"),
]
