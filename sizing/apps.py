from django.apps import AppConfig
from django.db.models import BigAutoField, CharField
from django.utils import translation

from sizing.among import Among
from sizing.begins import Begins
from sizing.wording import translate_with


class SizingConfig(AppConfig):
    name = "sizing"

    def ready(self) -> None:
        translate_with(translation)
        BigAutoField.register_lookup(Among)
        CharField.register_lookup(Begins)
