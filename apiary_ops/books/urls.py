from django.urls import path

from . import views

app_name = "books"
urlpatterns = [
    path("", views.journal, name="journal"),
    path("entries/write/", views.write_entry, name="write"),
    path("entries/<int:pk>/", views.entry_page, name="entry"),
    path("entries/<int:pk>/reverse/", views.reverse_entry, name="reverse"),
    path("accounts/", views.account_list, name="accounts"),
    path("accounts/<slug:key>/", views.account_page, name="account"),
    path("periods/", views.period_list, name="periods"),
    path("periods/open-year/", views.open_year, name="open-year"),
    path("periods/<int:pk>/lock/", views.lock_period, name="lock"),
    path("years/<int:year>/close/", views.close_year, name="close-year"),
]
