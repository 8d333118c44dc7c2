from django.urls import path

from sizing import views

urlpatterns = [
    path("", views.size_tables, name="size-tables"),
    path("upload/", views.upload, name="size-table-upload"),
    path("example.xlsx", views.example, name="size-table-example-workbook"),
    path("family/<str:code>/", views.size_table, name="size-table"),
    path("revision/<int:pk>.xlsx", views.download, name="size-table-workbook"),
    path("revision/<int:pk>/back/", views.take_back, name="size-table-take-back"),
    path("draft/<int:pk>/", views.draft, name="size-table-draft"),
    path("draft/<int:pk>/discard/", views.discard, name="size-table-discard"),
    path("factory/<int:pk>/", views.factory, name="factory"),
]
