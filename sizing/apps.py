from django.apps import AppConfig
from django.conf import settings
from django.db.models import BigAutoField, CharField
from django.utils import translation

from sizing.among import Among
from sizing.begins import Begins, BeginsByLetter
from sizing.wording import translate_from


class SizingConfig(AppConfig):
    name = "sizing"

    def ready(self) -> None:
        translate_from(settings.LOCALE_PATHS[0], "django", beside=translation.override)
        BigAutoField.register_lookup(Among)
        CharField.register_lookup(Begins)
        CharField.register_lookup(BeginsByLetter)
