"""Two folders changing names in one step, where the system can do that: then nobody ever finds neither."""

from __future__ import annotations

import ctypes
import errno
import os
import sys
from pathlib import Path

EXCHANGE = 2
"""RENAME_EXCHANGE of Linux (renameat2(2)), and RENAME_SWAP of macOS (renamex_np(2))."""
HERE = -100
"""AT_FDCWD of Linux: paths are from the folder of the process."""
UNABLE = (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP)
"""What a system, or a file system, says that knows no such thing."""


def exchanged(one: Path, other: Path) -> bool:
    """Whether each of two folders has the name of the other now; False, and nothing done, where it cannot be.

    Raises OSError.
    """
    try:
        library = ctypes.CDLL(None, use_errno=True)
        names = os.fsencode(one), os.fsencode(other)
        if sys.platform == "darwin":
            failed = library.renamex_np(*names, EXCHANGE)
        else:
            failed = library.renameat2(HERE, names[0], HERE, names[1], EXCHANGE)
    except (AttributeError, OSError, TypeError):  # no such library, or nothing of that name in it
        return False
    number = ctypes.get_errno()
    if failed and number not in UNABLE:
        raise OSError(number, os.strerror(number), str(one), None, str(other))
    return not failed
