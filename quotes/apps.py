from django.apps import AppConfig


class QuotesConfig(AppConfig):
    name = "quotes"

    def ready(self) -> None:
        # What happens with each sign-in hangs on Django's own signal of it.
        from config import sign_ins  # noqa: F401
