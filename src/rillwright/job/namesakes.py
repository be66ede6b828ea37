"""Two people who sign with the same initials on one day, told by the phones that named their set-ups."""

from __future__ import annotations

import re
from collections.abc import Sequence

from rillwright.survey import Shot

_OF_A_PHONE = re.compile(r"(?P<day>[0-9]{4}-[0-9]{2}-[0-9]{2})/[A-Z0-9]+-[0-9]+-(?P<phone>[2-9a-z]{3})", re.ASCII)


def namesakes(shots: Sequence[Shot], sent: Sequence[Shot]) -> tuple[str, ...]:
    """What to say to a phone whose initials another phone uses on the same day; nothing where none does.

    Their set-ups have different names, so that no level is wrong by it; but nobody can tell who read, and a person who
    seems to run to and fro between two set-ups is asked about it.

    Parameters
    ----------
    shots
        Every row of the job.
    sent
        The rows that the phone has just sent.
    """
    told = []
    for who, day, phone in dict.fromkeys(filter(None, map(_key, sent))):
        theirs = next((shot for shot in shots if _by_another(_key(shot), who, day, phone)), None)
        if theirs is not None:
            told.append(
                f"{who} reads on {day} from another phone too, in set-up {theirs.setup[11:]}: where that is somebody "
                "else, take other initials. The readings are kept apart."
            )
    return tuple(told)


def _by_another(key: tuple[str, str, str] | None, who: str, day: str, phone: str) -> bool:
    return key is not None and key[:2] == (who, day) and key[2] != phone


def _key(shot: Shot) -> tuple[str, str, str] | None:
    """Initials, day and phone of a reading; None of one that no phone's own set-up holds."""
    named = _OF_A_PHONE.fullmatch(shot.setup)
    if named is None or not shot.reading or not shot.who.strip():
        return None
    return shot.who.strip().upper(), named["day"], named["phone"]
