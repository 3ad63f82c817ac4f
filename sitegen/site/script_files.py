"""What pages load when it is needed, as scripts: a page from the file system may load nothing else."""

from __future__ import annotations

import json
from typing import Any


def as_script(facts: Any, called: str = "says") -> str:
    """A script that says something, as a property of its element, to whoever loads it."""
    return f"document.currentScript.{called}={shortest(facts)};\n"


def shortest(facts: Any) -> str:
    """Facts as JSON, with no space between."""
    return json.dumps(facts, ensure_ascii=False, separators=(",", ":"))
