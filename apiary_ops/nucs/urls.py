from django.urls import URLPattern

app_name = "nucs"
urlpatterns: list[URLPattern] = []
