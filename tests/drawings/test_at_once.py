"""Drawings made at once, as a screen asks for them: the font that measures their words is read by one at a time."""

from __future__ import annotations

import subprocess
import sys

_AT_ONCE = """
import sys, threading
sys.setswitchinterval(1e-6)
from rillwright.drawings import width_mm
wrong, widths, gate = [], [], threading.Barrier(6)
def measured():
    gate.wait()
    try:
        widths.append(width_mm("Does the water come down? 1234567890", 2.4))
    except Exception as error:
        wrong.append(repr(error))
crew = [threading.Thread(target=measured) for _ in range(6)]
for one in crew: one.start()
for one in crew: one.join()
assert not wrong, wrong
assert len(set(widths)) == 1, widths
"""


def test_words_are_measured_by_many_at_once() -> None:
    """In a process of its own, for the first who measures reads the font; some times over, for it is a race."""
    for _ in range(3):
        done = subprocess.run([sys.executable, "-c", _AT_ONCE], capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr
