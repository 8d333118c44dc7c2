from django.http import HttpResponse
from django.urls import path

urlpatterns = [
    path("o/<str:token>/", HttpResponse, name="order-public"),
    path("f/<str:token>/", HttpResponse, name="factory-public"),
]
