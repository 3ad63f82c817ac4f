"""Where the command begins: who breaks it off while it is still being read is told nothing.

Knows nothing of what it does: reading that takes most of the time that a short command has.
"""

from __future__ import annotations

import os
from signal import SIGINT, default_int_handler, getsignal, signal

from sitegen.statuses import INTERRUPTED


def begin() -> None:
    """Calls the command that was asked for, and ends with its status."""
    usual = getsignal(SIGINT)
    if usual is default_int_handler:  # Else whoever started it wants that nothing breaks it off.
        signal(SIGINT, lambda number, frame: os._exit(INTERRUPTED))
    from sitegen.cli import main

    signal(SIGINT, usual)
    main()
