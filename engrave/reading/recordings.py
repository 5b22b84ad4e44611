"""Where music can be heard: the address of a recording, written out or under that of all recordings."""

from __future__ import annotations

import re
from urllib.parse import quote

from engrave.documents.handout import Recording
from engrave.problems import ProblemLog
from engrave.reading.targets import Targets
from engrave.source.tree import SourceMap

_ADDRESS = re.compile(r"https?://[^\s/]+(/\S*)?", re.IGNORECASE)
_HINT = "write recordings: https://... at the head, or the whole address here"


def read_recording(entry: SourceMap, base: str, targets: Targets, log: ProblemLog) -> Recording | None:
    """The recording that `entry` names; `base` is the address under which recordings are found, "" for none.

    None where it names none, or names what is no address. `true` is a track that has no address.
    """
    wanted = entry.get("recording", False)
    if wanted is False:
        return None
    location = entry.value_location("recording")
    track = targets.take_track()
    if wanted is True:
        return Recording("", track, location)
    name = str(wanted).strip()
    if _ADDRESS.fullmatch(name):
        return Recording(name, track, location)
    if not name:
        log.error(location, "this recording has no address", hint=_HINT)
    elif "://" in name:
        log.error(
            location,
            f'"{name}" is not the address of a recording',
            hint="it starts with https:// and has no blanks",
        )
    elif not base:
        log.error(location, f'this recording has no address, only the name "{name}"', hint=_HINT)
    else:
        return Recording(f"{base.rstrip('/')}/{quote(name)}", track, location)
    return None


def check_base(tree: SourceMap, log: ProblemLog) -> str:
    """The address under which the recordings of a document are found; what is none goes to `log`."""
    base = str(tree.get("recordings", "")).strip()
    if base and not _ADDRESS.fullmatch(base):
        hint = "for example https://example.org/walk/"
        log.error(tree.value_location("recordings"), f'"{base}" is not an address', hint=hint)
    return base
