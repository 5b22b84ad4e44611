"""Neck diagrams from a tree: words, or a mapping of what is shown and how; each is worked out for an instrument."""

from __future__ import annotations

from engrave.problems import Location, ProblemLog
from engrave.reading.context import Context
from engrave.score.neck_over import NeckOver
from engrave.source.tree import SourceList, SourceMap, Value
from engrave.theory.instrument import Instrument
from engrave.theory.neck_diagram import Direction, Labels, NeckDiagram, NeckRequest, build_neck


def read_request(content: Value) -> NeckRequest:
    """What is asked for: words alone, or a mapping with the keys of `NeckRequest`."""
    if not isinstance(content, SourceMap):
        return NeckRequest(show=str(content))
    return NeckRequest(
        show=str(content.get("show", "")),
        dots=str(content.get("dots", "")),
        root=str(content.get("root", "")),
        frets=str(content.get("frets", "")),
        strings=str(content.get("strings", "")),
        labels=Labels(content["labels"]) if "labels" in content else None,
        direction=Direction(content["direction"]) if "direction" in content else None,
        numbers=str(content.get("numbers", "")),
        arrows=str(content.get("arrows", "")),
        title=str(content["title"]) if "title" in content else None,
    )


def read_neck(
    content: Value, location: Location, instrument: Instrument, log: ProblemLog, where: str = ""
) -> tuple[NeckRequest, NeckDiagram] | None:
    """What is asked for and its diagram; None, and why in `log`, when there is none."""
    request = read_request(content)
    try:
        return request, build_neck(request, instrument)
    except ValueError as error:
        log.error(location, str(error), where)
        return None


def read_neck_over(context: Context, content: SourceMap) -> NeckOver | None:
    """The neck over a measure of a part; None where there is none."""
    if "neck" not in content:
        return None
    location = content.value_location("neck")
    found = read_neck(content["neck"], location, context.instrument, context.log, context.where())
    return None if found is None else NeckOver(*found, location)


def read_necks(
    content: Value, location: Location, instrument: Instrument, log: ProblemLog
) -> tuple[NeckDiagram, ...]:
    """One neck, or those of a list, in order; those that are wrong are left out and told in `log`."""
    listed = (
        [(item, content.item_location(index)) for index, item in enumerate(content)]
        if isinstance(content, SourceList)
        else [(content, location)]
    )
    found = [read_neck(item, spot, instrument, log) for item, spot in listed]
    return tuple(pair[1] for pair in found if pair is not None)
