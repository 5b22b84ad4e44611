"""Neck diagrams over measures."""

from typing import NamedTuple

from engrave.problems import NOWHERE, Location
from engrave.theory.neck_diagram import NeckDiagram, NeckRequest


class NeckOver(NamedTuple):
    """A neck diagram over the start of a measure: what is asked for, and what follows from it for the part's instrument."""

    request: NeckRequest
    diagram: NeckDiagram
    location: Location = NOWHERE
