from django.urls import URLPattern

app_name = "books"
urlpatterns: list[URLPattern] = []
