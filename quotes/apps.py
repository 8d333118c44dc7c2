from django.apps import AppConfig
from django.db.models.signals import post_migrate


class QuotesConfig(AppConfig):
    name = "quotes"

    def ready(self) -> None:
        # What happens with each sign-in hangs on Django's own signal of it.
        from config import sign_ins  # noqa: F401
        from quotes.searched import make_indexes

        post_migrate.connect(make_indexes, sender=self, dispatch_uid="searched")
