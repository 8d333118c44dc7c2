"""A disk of its own for the database, small enough to be filled: a tmpfs. Only root may mount one."""

import os
import subprocess
from contextlib import contextmanager, suppress
from pathlib import Path


class Disk:
    def __init__(self, folder: Path) -> None:
        self.folder, self.filler = folder, folder / "filler"

    def fill(self) -> None:
        """To the last byte."""
        with self.filler.open("ab", buffering=0) as out:
            for size in (1 << 20, 4096, 1):
                with suppress(OSError):
                    while True:
                        out.write(bytes(size))

    def free(self) -> None:
        self.filler.unlink(missing_ok=True)


@contextmanager
def small_disk(folder: Path, megabytes: int, owner: int | None = None):
    """Mounted at `folder`, gone afterwards. Raises CalledProcessError where mounting is refused."""
    folder.mkdir()
    subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={megabytes}m", "tmpfs", folder], check=True
    )
    try:
        if owner is not None:
            os.chown(folder, owner, -1)
        yield Disk(folder)
    finally:
        # Lazily, for a process that still holds a file of it.
        subprocess.run(["umount", "--lazy", folder], check=True)
