from django.urls import URLPattern

app_name = "promise"
urlpatterns: list[URLPattern] = []
