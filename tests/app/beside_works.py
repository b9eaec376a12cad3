"""Works for the tests of the process beside the window; a process of its own fetches them from here."""

from __future__ import annotations

import os
import time

from framecore.errors import BriefError, Finding


def count(question, say, stop):
    """Say the numbers up to the question, and who says it."""
    say(("process", os.getpid()))
    for k in range(question):
        say(k)


def for_ever(question, say, stop):
    """Say something, then go on until nobody wants to hear it."""
    say(question)
    while not stop():
        time.sleep(0.01)


def refuse(question, say, stop):
    """Fail as foreseen or not."""
    if question == "foreseen":
        raise BriefError((Finding(code="x", message="This cannot be."),))
    if question == "die":
        os._exit(3)
    raise ZeroDivisionError(question)
