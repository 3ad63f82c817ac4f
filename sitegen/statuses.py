"""How commands end: their exit statuses, beside 0 for done."""

PROBLEMS = 1
"""There are problems in the guide."""
MISUSE = 2
"""The command was called wrongly, or asked for what the system does not let be done."""
FAULT = 70
"""A fault of the program itself."""
INTERRUPTED = 130
"""Ctrl-C."""
