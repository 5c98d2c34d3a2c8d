from django.urls import URLPattern

app_name = "margin"
urlpatterns: list[URLPattern] = []
