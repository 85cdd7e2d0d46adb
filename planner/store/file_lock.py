"""One writer at a time: an advisory lock beside the season file that vanishes with the process holding it."""

from __future__ import annotations

import json
import os
import socket
import sys
from pathlib import Path

if sys.platform == "win32":
    import msvcrt

    _FAR_BYTE = 1 << 20
    """Locked instead of the first bytes, because Windows would keep others from reading those."""

    def _try_lock(handle: int) -> bool:
        os.lseek(handle, _FAR_BYTE, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        finally:
            os.lseek(handle, 0, os.SEEK_SET)
        return True

else:
    import fcntl

    def _try_lock(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


class FileLock:
    """The right to write one season file, held from the making of this object until :meth:`release`."""

    def __init__(self, path: Path, handle: int) -> None:
        self._path = path
        self._handle: int | None = handle

    @classmethod
    def take(cls, path: Path) -> FileLock | None:
        """Take the lock kept in that file; None if another process or another opening of this one has it.

        Raises:
            OSError: the file cannot be made.
        """
        lock, free = None, True
        while free and lock is None:
            handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
            try:
                free = _try_lock(handle)
                # Its last holder may have removed the file between our opening and our locking it.
                if free and _is_still(path, handle):
                    os.ftruncate(handle, 0)
                    os.write(handle, json.dumps({"pid": os.getpid(), "host": socket.gethostname()}).encode())
                    lock = cls(path, handle)
            finally:
                if lock is None:
                    os.close(handle)
        return lock

    def release(self) -> None:
        """Give the lock back; a second call does nothing."""
        if self._handle is None:
            return
        if sys.platform != "win32":
            # Removed while still held, so that nobody else's file is removed; Windows refuses that.
            self._path.unlink(missing_ok=True)
        os.close(self._handle)
        self._handle = None


def _is_still(path: Path, handle: int) -> bool:
    try:
        return os.path.samestat(path.stat(), os.fstat(handle))
    except FileNotFoundError:
        return False


def holder(path: Path) -> str:
    """Return who holds the lock, in words."""
    try:
        noted = json.loads(path.read_text(encoding="utf-8"))
        pid, host = int(noted["pid"]), str(noted["host"])
    except (OSError, ValueError, KeyError, TypeError):
        return "another program"
    if host == socket.gethostname():
        return "this program itself, in another window" if pid == os.getpid() else f"process {pid} on this computer"
    return f"process {pid} on {host}"
