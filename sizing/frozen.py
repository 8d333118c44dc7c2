"""A revision in force is history: quotes point at it. Every ordinary way of writing to it is refused here."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db import models


class FrozenError(Exception):
    """Something tried to change a revision in force; a change needs a new revision."""

    def __init__(self) -> None:
        super().__init__("This revision is in force and can't be changed; make a new revision.")


class FrozenQuerySet(models.QuerySet):
    def _in_force(self) -> bool:
        path = self.model.revision_path
        return self.filter(**{f"{path}in_force_from__isnull": False}).exists()

    def _refuse_if(self, frozen: bool) -> None:
        if frozen:
            raise FrozenError

    def update(self, **fields: Any) -> int:
        self._refuse_if(not set(fields) <= self.model.changeable and self._in_force())
        return super().update(**fields)

    def delete(self) -> tuple[int, dict[str, int]]:
        self._refuse_if(self._in_force())
        return super().delete()

    def bulk_create(self, objs: Iterable[models.Model], *args: Any, **kwargs: Any) -> list:
        objs = list(objs)
        self._refuse_if(any_in_force(objs))
        return super().bulk_create(objs, *args, **kwargs)

    def bulk_update(
        self, objs: Iterable[models.Model], fields: Iterable[str], *args: Any, **kwargs: Any
    ) -> int:
        objs, fields = list(objs), list(fields)
        self._refuse_if(not set(fields) <= self.model.changeable and any_in_force(objs))
        return super().bulk_update(objs, fields, *args, **kwargs)


def any_in_force(objs: Iterable[models.Model]) -> bool:
    """Whether one of these belongs to a revision in force, asked of the database and not of the object."""
    from sizing.models import Revision

    keys = {obj.revision_key for obj in objs}
    return Revision.objects.filter(pk__in=keys, in_force_from__isnull=False).exists()


class Frozen(models.Model):
    """What freezes when its revision comes into force, but for the fields named `changeable`."""

    revision_path = "revision__"
    changeable: frozenset[str] = frozenset()

    objects = FrozenQuerySet.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        only = kwargs.get("update_fields")
        if (only is None or not set(only) <= self.changeable) and any_in_force([self]):
            raise FrozenError
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        if any_in_force([self]):
            raise FrozenError
        return super().delete(*args, **kwargs)

    @property
    def revision_key(self) -> int | None:
        return self.revision_id
