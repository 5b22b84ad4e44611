"""The placed marks as plain records: what stands where, and what it came from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from engrave.marks.bounds import Faces, measure_page_marks
from engrave.marks.mark import Glyph, Picture, PlacedDocument, Text

_DIGITS = 3
"""Decimal places of points in a trace."""


def trace_marks(document: PlacedDocument, faces: Faces) -> Iterator[dict[str, Any]]:
    """One record a mark: page, role, kind, box in points (left, bottom, right, top), name or text, and its source."""
    for page in document.pages:
        for _, mark, box in measure_page_marks(page, faces):
            source = mark.source
            record: dict[str, Any] = {
                "page": page.number,
                "role": mark.role.value,
                "kind": type(mark).__name__.lower(),
                "box": [round(value, _DIGITS) for value in box],
            }
            if isinstance(mark, Glyph):
                record["glyph"] = mark.name
            elif isinstance(mark, Picture):
                record["text"] = mark.alt
            elif isinstance(mark, Text):
                record["text"] = mark.text
            if source.line:
                record["line"], record["column"] = source.line, source.column
            if source.part:
                record["part"] = source.part
            if source.measure:
                record["measure"] = source.measure
            if source.beat:
                record["beat"] = source.beat
            yield record
