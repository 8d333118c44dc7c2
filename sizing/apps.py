from django.apps import AppConfig
from django.db.models import BigAutoField
from django.utils import translation

from sizing.among import Among
from sizing.wording import translate_with


class SizingConfig(AppConfig):
    name = "sizing"

    def ready(self) -> None:
        translate_with(translation)
        BigAutoField.register_lookup(Among)
