from django.apps import AppConfig
from django.core.checks import register
from django.db.backends.signals import connection_created
from django.db.models.signals import post_migrate, pre_migrate


class QuotesConfig(AppConfig):
    name = "quotes"

    def ready(self) -> None:
        # What happens with each sign-in hangs on Django's own signal of it.
        from config import sign_ins  # noqa: F401
        from config.private import keep_private
        from config.turns import give_turns
        from quotes.post import check_first_wait
        from quotes.triples import count_rows, make_indexes

        register(check_first_wait)
        connection_created.connect(give_turns, dispatch_uid="turns")
        pre_migrate.connect(keep_private, sender=self, dispatch_uid="private")
        post_migrate.connect(make_indexes, sender=self, dispatch_uid="searched")
        post_migrate.connect(count_rows, sender=self, dispatch_uid="rows counted")
