"""Who may read what the desk keeps on disk: its owner alone, as it holds all that is known of customers."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.db import connections


def keep_private(using: str = "default", **kwargs: Any) -> None:
    """A SQLite file that holds nothing yet becomes its owner's alone; whoever lets others read it later, may.

    Called before every `migrate`. What SQLite writes beside the file afterwards takes its rights.
    """
    connection = connections[using]
    if connection.vendor != "sqlite" or connection.introspection.table_names():
        return
    for end in ("", "-wal", "-shm"):
        file = Path(f"{connection.settings_dict['NAME']}{end}")
        if file.is_file():
            file.chmod(0o600)
