"""What Engrave uses of pypdf that pypdf does not promise to keep. A test says when it has changed; nothing else may touch it."""

from __future__ import annotations

from pypdf import PdfWriter
from pypdf.generic import ArrayObject, ByteStringObject, IndirectObject, PdfObject


def add_object(writer: PdfWriter, thing: PdfObject) -> IndirectObject:
    """Add an object of our own to the file; what others refer to it by."""
    return writer._add_object(thing)


def first_identifier(writer: PdfWriter) -> ByteStringObject | None:
    """The half of the file's identifier that stays when the file is changed (ISO 32000-1, 14.4); None without one."""
    if not writer._ID:
        return None
    first = writer._ID[0]
    return first if isinstance(first, ByteStringObject) else ByteStringObject(first.original_bytes)


def set_identifier(writer: PdfWriter, first: ByteStringObject, second: ByteStringObject) -> None:
    """Name the file by two halves of our own: pypdf would draw them at random."""
    writer._ID = ArrayObject([first, second])
