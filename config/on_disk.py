"""What has a new name in a folder and is to be there after the machine's power was cut. Knows no Django."""

from __future__ import annotations

import errno
import os
from pathlib import Path


def keep_file(file: Path) -> None:
    """Wait until what was written into a file is on the disk. Raises OSError."""
    _sync(file, os.O_RDONLY)


def keep_names(folder: Path) -> None:
    """Wait until the names in a folder are on the disk: a file's own bytes are of no use without. Raises OSError."""
    try:
        _sync(folder, os.O_RDONLY | os.O_DIRECTORY)
    except OSError as problem:
        # Some file systems of other machines keep names by themselves and take no such wish.
        if problem.errno != errno.EINVAL:
            raise


def _sync(path: Path, flags: int) -> None:
    opened = os.open(path, flags)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
