"""Neck diagrams over measures."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from engrave.problems import NOWHERE, Location

if TYPE_CHECKING:  # loaded for those who have necks
    from engrave.theory.neck_diagram import NeckDiagram, NeckRequest


class NeckOver(NamedTuple):
    """A neck diagram over the start of a measure: what is asked for, and what follows from it for the part's instrument."""

    request: NeckRequest
    diagram: NeckDiagram
    location: Location = NOWHERE
