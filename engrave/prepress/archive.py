"""Files that can be read for decades: PDF/A-2b, or PDF/A-3b when the sources travel inside.

Clause numbers are those of ISO 19005-2:2011 (PDF/A-2); ISO 19005-3:2012 differs from it in 6.8 only.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping
from hashlib import sha256
from io import BytesIO
from pathlib import PurePosixPath
from typing import Any
from xml.sax.saxutils import escape

from PIL import ImageCms
from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    DecodedStreamObject,
    DictionaryObject,
    IndirectObject,
    NameObject,
    NumberObject,
    StreamObject,
    TextStringObject,
)

from engrave.prepress.pypdf_inside import add_object, first_identifier, set_identifier
from engrave.problems import CannotBeDrawn

_HEADER = "%PDF-1.7"
"""PDF/A-2 and 3 are built on ISO 32000-1, which describes PDF 1.7."""
_PRODUCER = "engrave"
_UNTITLED = "Untitled"
"""The title of a piece without one, as in the drawn file (house rule)."""
_INFO_DATE = "D:20000101000000Z"
_XMP_DATE = "2000-01-01T00:00:00Z"
"""One fixed moment written in two ways, so that the same input gives the same bytes (house rule)."""
_ICC_DATE = b"".join(struct.pack(">H", field) for field in (2000, 1, 1, 0, 0, 0))
_ICC_DATE_AT = 24
_ICC_VERSION = bytes((4, 0x20, 0, 0))
_ICC_VERSION_AT = 8
"""Header fields of a profile (ICC.1:2004-10, 7.2); ISO 32000-1, table 66, ends with that version, 4.2."""
_ID_LENGTH = 16
"""Bytes of a file identifier, as usual in files with MD5 ones (common practice, no source)."""
_CONDITION = "sRGB IEC61966-2.1"
_REGISTRY = "http://www.color.org"
_INVISIBLE, _HIDDEN, _PRINT, _NO_VIEW, _TOGGLE_NO_VIEW = 1, 2, 4, 32, 256
"""Flags of an annotation (ISO 32000-1, table 165)."""
_NEVER_SET = _INVISIBLE | _HIDDEN | _NO_VIEW | _TOGGLE_NO_VIEW
_ALLOWED_ACTIONS = ("/URI", "/GoTo")
"""The actions that a drawn link may have; 6.5.1 allows a few more, which engrave never draws."""
_MEDIA_TYPES = {".yaml": "text/yaml", ".yml": "text/yaml"}
_UNKNOWN_MEDIA_TYPE = "application/octet-stream"
_XMP_BLANKS = str.maketrans({**dict.fromkeys(range(32), " "), **dict.fromkeys((0xFFFE, 0xFFFF), " ")})
"""Characters that XML 1.0 (2.2, Char) cannot hold, or that its readers change (2.11, ends of lines)."""

_XMP = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about=""
 xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:pdf="http://ns.adobe.com/pdf/1.3/"
 xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/">
<pdfaid:part>{part}</pdfaid:part>
<pdfaid:conformance>B</pdfaid:conformance>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
{optional}<pdf:Producer>{producer}</pdf:Producer>
<xmp:CreatorTool>{producer}</xmp:CreatorTool>
<xmp:CreateDate>{date}</xmp:CreateDate>
<xmp:ModifyDate>{date}</xmp:ModifyDate>
<xmp:MetadataDate>{date}</xmp:MetadataDate>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="w"?>"""
_XMP_CREATOR = "<dc:creator><rdf:Seq><rdf:li>{}</rdf:li></rdf:Seq></dc:creator>\n"
_XMP_LANGUAGE = "<dc:language><rdf:Bag><rdf:li>{}</rdf:li></rdf:Bag></dc:language>\n"


class NotArchival(CannotBeDrawn):
    """The drawn file holds something that PDF/A forbids and that cannot be mended here."""


def make_archival(
    pdf: bytes,
    title: str,
    author: str,
    language: str,
    attachments: Mapping[str, bytes] | None = None,
) -> bytes:
    """The drawn file `pdf` as PDF/A-2b; as PDF/A-3b when there are `attachments` (contents by file name).

    An empty `author` or `language` is left out; an empty `title` becomes "Untitled". Byte-identical for identical
    input. Raises `NotArchival` for encryption, fonts that are not embedded, pictures in CMYK, annotations other than links, and links
    that do more than go to a place.
    """
    sources = dict(sorted((attachments or {}).items()))
    reader = PdfReader(BytesIO(pdf))
    if reader.is_encrypted:
        raise NotArchival("the file is encrypted (ISO 19005-2, 6.1.3)")
    writer = PdfWriter(clone_from=reader)
    for page in writer.pages:
        _check_fonts(page)
        _check_pictures(page)
        for annotation in _annotations(page):
            _check_link(annotation)
            flags = int(annotation.get("/F", 0))
            annotation[NameObject("/F")] = NumberObject(flags & ~_NEVER_SET | _PRINT)
    title, author = _one_line(title) or _UNTITLED, _one_line(author)
    catalog = writer.root_object
    if language:
        catalog[NameObject("/Lang")] = TextStringObject(language)
    catalog[NameObject("/OutputIntents")] = ArrayObject([_output_intent(writer)])
    if sources:
        _attach(writer, sources)
    catalog[NameObject("/Metadata")] = _metadata(writer, title, author, language, 3 if sources else 2)
    writer.metadata = _info(title, author)
    words = (title, author, language, *sources)
    return _bytes_of(writer, _identifier(pdf, *(word.encode() for word in words), *sources.values()))


def srgb_profile() -> bytes:
    """An sRGB display profile that is the same in every run and says version 4.2, whose parts are all it uses.

    6.2.3 wants class `mntr` or `prtr`. Pillow writes the present time into the header, hence the patch.
    """
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    for start, field in ((_ICC_DATE_AT, _ICC_DATE), (_ICC_VERSION_AT, _ICC_VERSION)):
        profile[start : start + len(field)] = field
    return bytes(profile)


def _bytes_of(writer: PdfWriter, identifier: bytes) -> bytes:
    writer.pdf_header = _HEADER
    # A newer version in the catalog would win over the header (ISO 32000-1, 7.2.2).
    writer.root_object.pop("/Version", None)
    # 6.1.3 asks for /ID: its first half stays that of the drawn file, the second tells the versions apart.
    own = ByteStringObject(identifier)
    set_identifier(writer, first_identifier(writer) or own, own)
    buffer = BytesIO()
    writer.write(buffer)
    return buffer.getvalue()


def _identifier(*parts: bytes) -> bytes:
    """Bytes that stand for all that a file is made from (ISO 32000-1, 14.4)."""
    digest = sha256()
    for part in parts:
        digest.update(sha256(part).digest())
    return digest.digest()[:_ID_LENGTH]


def _check_fonts(page: DictionaryObject) -> None:
    """6.2.11.4: every font embedded. Engrave draws TrueType fonts only."""
    resources = page["/Resources"].get_object()
    assert isinstance(resources, DictionaryObject)
    fonts: Any = resources.get("/Font", DictionaryObject()).get_object()
    for reference in fonts.values():
        font = reference.get_object()
        descriptor = font.get("/FontDescriptor", DictionaryObject()).get_object()
        if "/FontFile2" not in descriptor:
            raise NotArchival(f"the font {font.get('/BaseFont')} is not embedded (ISO 19005-2, 6.2.11.4)")


def _check_pictures(page: DictionaryObject) -> None:
    """6.2.4.3: no colours for a press where the file says that its colours are those of a screen."""
    resources: Any = page.get("/Resources", DictionaryObject()).get_object()
    objects: Any = resources.get("/XObject", DictionaryObject()).get_object()
    for reference in objects.values():
        found = reference.get_object()
        if found.get("/Subtype") == "/Form":
            _check_pictures(found)
        elif found.get("/ColorSpace") == "/DeviceCMYK":
            raise NotArchival(
                "a picture is in CMYK, and an archive file has the colours of a screen (ISO 19005-2, 6.2.4.3); "
                "save the picture as RGB"
            )


def _annotations(page: DictionaryObject) -> Iterator[Any]:
    annotations: Any = page.get("/Annots", ArrayObject()).get_object()
    for annotation in annotations:
        yield annotation.get_object()


def _check_link(annotation: DictionaryObject) -> None:
    """6.3.3: links need no appearance stream; 6.5.1: no action but a jump."""
    if annotation.get("/Subtype") != "/Link":
        raise NotArchival(f"an annotation {annotation.get('/Subtype')} is not a link (ISO 19005-2, 6.3)")
    action: Any = annotation.get("/A", DictionaryObject()).get_object()
    if action and action.get("/S") not in _ALLOWED_ACTIONS:
        raise NotArchival(f"a link does {action.get('/S')} (ISO 19005-2, 6.5.1)")


def _one_line(text: str) -> str:
    """The text as XMP and the information dictionary can both hold it."""
    return " ".join(text.translate(_XMP_BLANKS).split())


def _info(title: str, author: str) -> dict[str, Any]:
    """The information dictionary; each entry has its twin in the XMP packet."""
    entries = {"/Title": title, "/Creator": _PRODUCER, "/Producer": _PRODUCER}
    if author:
        entries["/Author"] = author
    return {**entries, "/CreationDate": _INFO_DATE, "/ModDate": _INFO_DATE}


def _metadata(writer: PdfWriter, title: str, author: str, language: str, part: int) -> IndirectObject:
    """6.6.2 and 6.6.4: the XMP packet, plain so that it can be read without decoding."""
    optional = _XMP_CREATOR.format(escape(author)) if author else ""
    optional += _XMP_LANGUAGE.format(escape(language)) if language else ""
    packet = _XMP.format(
        part=part, title=escape(title), optional=optional, producer=_PRODUCER, date=_XMP_DATE
    )
    stream = _stream(
        packet.encode("utf-8"), {"/Type": NameObject("/Metadata"), "/Subtype": NameObject("/XML")}
    )
    return add_object(writer, stream)


def _output_intent(writer: PdfWriter) -> DictionaryObject:
    """6.2.3: what the file's colours mean. DeviceGray counts as the grey of this profile (6.2.4.3)."""
    profile = _stream(srgb_profile(), {"/N": NumberObject(3)}).flate_encode()
    return DictionaryObject(
        {
            NameObject("/Type"): NameObject("/OutputIntent"),
            NameObject("/S"): NameObject("/GTS_PDFA1"),
            NameObject("/OutputConditionIdentifier"): TextStringObject(_CONDITION),
            NameObject("/Info"): TextStringObject(_CONDITION),
            NameObject("/RegistryName"): TextStringObject(_REGISTRY),
            NameObject("/DestOutputProfile"): add_object(writer, profile),
        }
    )


def _attach(writer: PdfWriter, attachments: Mapping[str, bytes]) -> None:
    """6.8: each file in the tree of names and among the associated files (/AF) of the document."""
    # A name tree is in the order of its keys' bytes (ISO 32000-1, 7.9.6).
    keys = sorted((TextStringObject(name) for name in attachments), key=TextStringObject.get_encoded_bytes)
    specifications = [add_object(writer, _file_specification(writer, key, attachments[key])) for key in keys]
    pairs = [part for pair in zip(keys, specifications) for part in pair]
    catalog = writer.root_object
    names: Any = catalog.setdefault(NameObject("/Names"), DictionaryObject()).get_object()
    names[NameObject("/EmbeddedFiles")] = DictionaryObject({NameObject("/Names"): ArrayObject(pairs)})
    catalog[NameObject("/AF")] = ArrayObject(specifications)


def _file_specification(writer: PdfWriter, name: str, content: bytes) -> DictionaryObject:
    """A file that the pages were made from. Its date is the fixed one: ISO 19005-3 asks for a date, from memory."""
    media_type = _MEDIA_TYPES.get(PurePosixPath(name).suffix.lower(), _UNKNOWN_MEDIA_TYPE)
    facts = {
        NameObject("/Size"): NumberObject(len(content)),
        NameObject("/ModDate"): TextStringObject(_INFO_DATE),
    }
    entries = {
        "/Type": NameObject("/EmbeddedFile"),
        "/Subtype": NameObject("/" + media_type),
        "/Params": DictionaryObject(facts),
    }
    stored = add_object(writer, _stream(content, entries).flate_encode())
    # /F has no encoding of its own (ISO 32000-1, 7.11.2), hence ASCII; /UF is the true name.
    plain_name = name.encode("ascii", "replace").decode("ascii").replace("?", "_")
    return DictionaryObject(
        {
            NameObject("/Type"): NameObject("/Filespec"),
            NameObject("/F"): TextStringObject(plain_name),
            NameObject("/UF"): TextStringObject(name),
            NameObject("/EF"): DictionaryObject({NameObject("/F"): stored, NameObject("/UF"): stored}),
            NameObject("/AFRelationship"): NameObject("/Source"),
            NameObject("/Desc"): TextStringObject("Source of the score"),
        }
    )


def _stream(data: bytes, entries: Mapping[str, Any]) -> StreamObject:
    stream = DecodedStreamObject()
    stream.set_data(data)
    for key, value in entries.items():
        stream[NameObject(key)] = value
    return stream
