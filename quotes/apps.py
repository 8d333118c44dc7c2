from django.apps import AppConfig
from django.core.checks import register
from django.db.models.signals import post_migrate, pre_migrate


class QuotesConfig(AppConfig):
    name = "quotes"

    def ready(self) -> None:
        # What happens with each sign-in hangs on Django's own signal of it.
        from config import sign_ins  # noqa: F401
        from config.private import keep_private
        from quotes.post import check_first_wait
        from quotes.triples import count_rows, make_indexes

        register(check_first_wait)
        pre_migrate.connect(keep_private, sender=self, dispatch_uid="private")
        post_migrate.connect(make_indexes, sender=self, dispatch_uid="searched")
        post_migrate.connect(count_rows, sender=self, dispatch_uid="rows counted")
