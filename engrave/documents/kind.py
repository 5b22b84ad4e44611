"""The kinds of document."""

from __future__ import annotations

from enum import Enum


class Kind(Enum):
    """The kinds of document, by the key that tells what a document is."""

    SCORE = "score"
    HANDOUT = "handout"
    SONGBOOK = "songbook"
    METHOD = "method"
    PAPER = "paper"
