from typing import Any

from django.apps import AppConfig
from django.db.models.signals import post_save


class OrderingConfig(AppConfig):
    name = "ordering"

    def ready(self) -> None:
        # Quotes know nothing of orders, so a merge of customers is heard of, not told.
        post_save.connect(
            _follow_merge, sender="quotes.Customer", dispatch_uid="orders-follow-merge"
        )


def _follow_merge(instance: Any, **kwargs: Any) -> None:
    """The orders of a customer who went into another one go along, in the merge's own transaction."""
    if instance.merged_into_id:
        from ordering.events import follow_merge

        follow_merge(instance)
