from django.urls import path

from . import views

app_name = "business"
urlpatterns = [
    path("settings/", views.settings_page, name="settings"),
    path("settings/edit/", views.edit_settings, name="settings-edit"),
    path("settings/terms/", views.state_terms, name="terms-add"),
    path("settings/tax-categories/add/", views.add_tax_category, name="tax-category-add"),
    path("settings/tax/", views.add_tax_rate, name="tax-rate-add"),
    path("seasons/", views.season_list, name="season-list"),
    path("seasons/open/", views.open_season, name="season-add"),
    path("seasons/<int:year>/", views.edit_season, name="season-edit"),
    path("seasons/<int:year>/choose/", views.choose_season, name="season-choose"),
]
