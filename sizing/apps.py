from django.apps import AppConfig


class SizingConfig(AppConfig):
    name = "sizing"
