"""One writer for a file: a lock of the operating system, which ends with the process that holds it.

It lies on the open file itself, so that other names of the same file (links, a renamed folder)
meet the same lock, and nothing is left behind for a killed program to block others with.
"""

from __future__ import annotations

import contextlib
import errno
import os
import sys

from kit.errors import KitError

_BUSY = (errno.EACCES, errno.EAGAIN, errno.EDEADLK, errno.EWOULDBLOCK)
_FAR = 1 << 30  # Windows locks bytes; these lie behind any journal, so reading stays possible


class NotWritableError(KitError):
    """A journal cannot be written now: it is in use, or its place allows no writing."""


def take(descriptor: int, name: str) -> None:
    """Lock an open file for this process until it is closed; never waits.

    Args:
        descriptor: of the open file.
        name: name of the file, for the message.

    Raises:
        NotWritableError: another program holds it, or the file system knows no locks.
    """
    try:
        _take(descriptor)
    except OSError as error:
        if error.errno in _BUSY:
            raise NotWritableError(
                "Another program is writing to the journal {name}. Close the visit there first.",
                name=repr(name),
            ) from None
        raise NotWritableError(
            "The place of the journal {name} cannot keep a second writer out ({reason}). "
            "Choose a folder on this computer's own disk.",
            name=repr(name),
            reason=error.strerror,
        ) from error


def give_back(descriptor: int) -> None:
    """Free a lock before the file is closed; Windows asks for that, elsewhere closing does it.

    Args:
        descriptor: of the open file.
    """
    if sys.platform == "win32":
        import msvcrt

        os.lseek(descriptor, _FAR, os.SEEK_SET)
        with contextlib.suppress(OSError):
            msvcrt.locking(descriptor, msvcrt.LK_UNLCK, 1)


def _take(descriptor: int) -> None:
    if sys.platform == "win32":
        import msvcrt

        os.lseek(descriptor, _FAR, os.SEEK_SET)
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        return
    import fcntl

    fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
