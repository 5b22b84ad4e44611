"""A row of events with some of them changed, put back into its text."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from engrave.score.short_form import TextEvent
from engrave.writing.patch import Patch
from engrave.writing.source_events import SourceEvent

_WORD = re.compile(r"\S+")


def write_row(patch: Patch, spot: SourceEvent, events: Sequence[Any]) -> None:
    """Write the events of the row that `spot` stands in: texts as typed where nothing changes, else their trees.

    They stay one text where each of them is one, and only plain ones or ones that were typed with words stand together.
    """
    typed = [event.text for event in spot.row]
    if list(events) == typed:
        return
    with_words = any(" " in text for text in typed)
    if len(events) == 1:
        patch.replace(spot.path, events[0])
    elif all(isinstance(event, str) and (with_words or " " not in event) for event in events):
        patch.replace(spot.path, _retype(spot.node.text, spot.row, events))
    elif isinstance(spot.path[-1], int):
        patch.spread(spot.path, list(events))
    else:
        patch.replace(spot.path, list(events))


def _retype(text: str, row: Sequence[TextEvent], events: Sequence[str]) -> str:
    """`text` with other words for its events, and the blanks between them as they were typed."""
    words = list(_WORD.finditer(text))
    pieces, done = [], 0
    for event, new in zip(row, events, strict=True):
        start = words[event.at].start()
        pieces += [text[done:start], new]
        done = words[event.at + len(event.text.split()) - 1].end()
    return "".join((*pieces, text[done:]))
