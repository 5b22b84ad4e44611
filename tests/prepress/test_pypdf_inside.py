"""The inner parts of pypdf are as Engrave knows them. Fails when pypdf changes them; then `pypdf_inside.py` has to follow."""

from io import BytesIO

from pypdf import PdfReader, PdfWriter
from pypdf.generic import ByteStringObject, NameObject, TextStringObject

from engrave.prepress.pypdf_inside import add_object, first_identifier, set_identifier


def read_again(writer):
    buffer = BytesIO()
    writer.write(buffer)
    return PdfReader(BytesIO(buffer.getvalue()))


def test_an_object_of_our_own_is_in_the_file():
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    writer.root_object[NameObject("/Own")] = add_object(writer, TextStringObject("ours"))
    assert read_again(writer).trailer["/Root"]["/Own"] == "ours"


def test_a_file_has_the_identifier_that_it_is_given():  # ISO 32000-1, 14.4
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    assert first_identifier(writer) is None
    first, second = ByteStringObject(b"\x00" * 16), ByteStringObject(b"\x01" * 16)
    set_identifier(writer, first, second)
    assert first_identifier(writer) == first
    reader = read_again(writer)
    assert [half.original_bytes for half in reader.trailer["/ID"]] == [b"\x00" * 16, b"\x01" * 16]
    assert first_identifier(PdfWriter(clone_from=reader)) == first
