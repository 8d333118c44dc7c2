from django.apps import AppConfig
from django.utils import translation

from sizing.wording import translate_with


class SizingConfig(AppConfig):
    name = "sizing"

    def ready(self) -> None:
        translate_with(translation)
