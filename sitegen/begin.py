"""Where the command begins: who breaks it off while it is still being read is told nothing.

Knows nothing of what it does: reading that takes most of the time that a short command has.
"""

from __future__ import annotations

import atexit
import gc
import os
from signal import SIGINT, default_int_handler, getsignal, signal

from sitegen.statuses import INTERRUPTED

STAYING = 500_000
"""How many objects come to be before those are looked for that nobody uses: nearly all of a guide stay.

At the end nobody looks for them at all, since the system takes back everything at once.
"""


def begin() -> None:
    """Calls the command that was asked for, and ends with its status."""
    gc.set_threshold(STAYING)
    atexit.register(gc.freeze)
    usual = getsignal(SIGINT)
    if usual is default_int_handler:  # Else whoever started it wants that nothing breaks it off.
        signal(SIGINT, lambda number, frame: os._exit(INTERRUPTED))
    from sitegen.cli import main

    signal(SIGINT, usual)
    main()
