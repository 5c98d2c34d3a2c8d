from django.urls import path

from . import views

app_name = "nucs"
urlpatterns = [
    path("", views.nuc_list, name="list"),
    path("kinds/", views.kind_list, name="kind-list"),
    path("kinds/add/", views.add_kind, name="kind-add"),
    path("kinds/<slug:code>/", views.edit_kind, name="kind-edit"),
    path("split-days/", views.split_day_list, name="split-day-list"),
    path("split-days/plan/", views.plan_split_day, name="split-day-plan"),
    path("split-days/<int:pk>/", views.split_day_page, name="split-day"),
    path("split-days/<int:pk>/batch/", views.make_batch, name="batch-make"),
    path("batches/<int:pk>/", views.batch_page, name="batch"),
    path("batches/<int:pk>/queens/", views.introduce_queens, name="queens-in"),
    path("batches/<int:pk>/checks/", views.check_batch, name="batch-check"),
    path("<int:pk>/", views.nuc_page, name="nuc"),
    path("<int:pk>/check/", views.check_nuc, name="check"),
    path("<int:pk>/requeen/", views.requeen, name="requeen"),
    path("<int:pk>/end/", views.end_nuc, name="end"),
    path("<int:pk>/hold/", views.hold_nuc, name="hold"),
    path("<int:pk>/release/", views.release_nuc, name="release"),
]
