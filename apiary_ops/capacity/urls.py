from django.urls import URLPattern

app_name = "capacity"
urlpatterns: list[URLPattern] = []
