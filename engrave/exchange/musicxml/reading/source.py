"""From bytes to a tree of elements: zip archives opened with care, XML parsed without entities and without recursion."""

from __future__ import annotations

import io
import zipfile
from dataclasses import dataclass, field
from pathlib import PurePosixPath
from typing import Any
from xml.etree.ElementTree import ParseError

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import XMLParser

LARGEST = 64 * 1024 * 1024
"""Bytes of a file, and of what is unpacked from an archive, at most (house rule)."""
LARGEST_DECLARED = 200 * 1024 * 1024
"""Bytes that all members of an archive may hold together (house rule)."""
HIGHEST_RATIO = 64
"""How many times larger a member may get; repetitive XML hardly exceeds 40 (house rule)."""
RATIO_FREE = 1024 * 1024
"""Members up to this many bytes are unpacked whatever their ratio: they can do no harm (house rule)."""
DEEPEST = 48
"""Elements in elements, at most; the format needs about a dozen (house rule)."""
MOST_NODES = 350_000
"""Elements of a file, at most: some forty thousand notes, as many as are read in a few seconds (house rule)."""
MOST_ATTRIBUTES = 100
"""Attributes of an element, at most; the format has at most some forty (house rule)."""
LONGEST_TEXT = 100_000
"""Letters of an element's text, at most (house rule)."""
_ZIP_START = b"PK"
_CONTAINER = "META-INF/container.xml"
_BLOCK = 1 << 16
_LONGEST_SILENCE = 16
"""Blocks in which nothing starts or ends: a tag or a comment of a megabyte, which the parser keeps whole (house rule)."""


@dataclass(slots=True)
class Node:
    """An element: its name without namespace, attributes, children in order, and the text before its first child."""

    tag: str
    attributes: dict[str, str]
    children: list[Node] = field(default_factory=list)
    content: str = ""

    def get(self, name: str, default: str = "") -> str:
        """An attribute."""
        return self.attributes.get(name, default)

    def find(self, *path: str) -> Node | None:
        """The first descendant along `path`, None when there is none."""
        node: Node | None = self
        for tag in path:
            node = next((child for child in node.children if child.tag == tag), None) if node else None
        return node

    def all(self, tag: str) -> list[Node]:
        """The children called `tag`."""
        return [child for child in self.children if child.tag == tag]

    def has(self, tag: str) -> bool:
        """True when there is a child called `tag`."""
        return any(child.tag == tag for child in self.children)

    def text(self, *path: str) -> str:
        """The stripped text along `path`, "" when there is none."""
        node = self.find(*path)
        return node.content.strip() if node else ""

    def number(self, *path: str) -> float | None:
        """The number along `path`, None when there is none or it is not finite."""
        return to_number(self.text(*path))

    def whole(self, *path: str) -> int | None:
        """The whole number along `path`, None when there is none."""
        value = self.number(*path)
        return int(value) if value is not None else None


_HIGHEST_NUMBER = 1e9


def to_number(text: str) -> float | None:
    """The number in `text`; None when it is none, or too large for anything in music."""
    try:
        value = float(text)
    except ValueError:
        return None
    return value if -_HIGHEST_NUMBER < value < _HIGHEST_NUMBER else None


def one_line(text: str) -> str:
    """`text` in one line, without characters that no text face has: controls, and signs of music faces in private use."""
    return " ".join("".join(c if c.isprintable() else " " if c.isspace() else "" for c in text).split())


class _Builder:
    """Takes the parser's events; the tree grows without recursion."""

    def __init__(self) -> None:
        self.root: Node | None = None
        self._open: list[Node] = []
        self._nodes = 0
        self.events = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self._nodes += 1
        self.events += 1
        if len(self._open) >= DEEPEST:
            raise ValueError(f"elements are nested more than {DEEPEST} deep; this is not ordinary MusicXML")
        if self._nodes > MOST_NODES:
            raise ValueError(f"the file holds more than {MOST_NODES} elements")
        if len(attributes) > MOST_ATTRIBUTES:
            raise ValueError(
                f"an element has more than {MOST_ATTRIBUTES} attributes; this is not ordinary MusicXML"
            )
        node = Node(tag.rpartition("}")[2], dict(attributes))
        if self._open:
            self._open[-1].children.append(node)
        else:
            self.root = node
        self._open.append(node)

    def end(self, tag: str) -> None:
        self.events += 1
        self._open.pop()

    def data(self, text: str) -> None:
        self.events += 1
        if self._open and not self._open[-1].children:
            node = self._open[-1]
            node.content += text
            if len(node.content) > LONGEST_TEXT:
                raise ValueError(
                    f"an element holds more than {LONGEST_TEXT} letters; this is not ordinary MusicXML"
                )

    def close(self) -> Node | None:
        return self.root


def parse_xml(data: bytes) -> Node:
    """The root of an XML text in UTF-8, UTF-16 or Latin-1. Raises ValueError for what is not well-formed or not safe."""
    builder = _Builder()
    parser: Any = XMLParser(target=builder, forbid_dtd=False, forbid_entities=True, forbid_external=True)
    try:
        silent, seen = 0, 0
        for start in range(0, len(data), _BLOCK):
            parser.feed(data[start : start + _BLOCK])
            silent = silent + 1 if builder.events == seen else 0
            seen = builder.events
            if silent > _LONGEST_SILENCE:
                raise ValueError("a tag or comment goes on without an end; this is not ordinary MusicXML")
        parser.close()
    except DefusedXmlException:
        raise ValueError("the file defines entities, which are refused as unsafe") from None
    except ParseError as error:
        raise ValueError(f"this is not well-formed XML: {error}") from None
    except (LookupError, UnicodeError) as error:
        raise ValueError(f"the encoding of the file cannot be read: {error}") from None
    if builder.root is None:
        raise ValueError("the file is empty")
    return builder.root


def open_source(data: bytes) -> Node:
    """The root element of a MusicXML file, plain or compressed. Raises ValueError for everything that is wrong."""
    if len(data) > LARGEST:
        raise ValueError(f"the file holds more than {LARGEST // 1024 // 1024} megabytes")
    if not data.startswith(_ZIP_START):
        return parse_xml(data)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return _open_archive(archive)
    except ValueError:
        raise
    except Exception as error:  # the zip reader trusts the numbers of a broken directory
        raise ValueError(f"the compressed file is damaged: {error}") from None


def _open_archive(archive: zipfile.ZipFile) -> Node:
    members = {info.filename: info for info in archive.infolist()}
    for name in members:
        _check_name(name)
    if sum(info.file_size for info in members.values()) > LARGEST_DECLARED:
        raise ValueError("the compressed file would fill the memory; it is refused as a zip bomb")
    if _CONTAINER not in members:
        raise ValueError(f"the compressed file has no {_CONTAINER}, which names its score")
    container = parse_xml(_unpack(archive, members[_CONTAINER]))
    roots = container.find("rootfiles")
    path = next((root.get("full-path") for root in roots.all("rootfile")), "") if roots else ""
    _check_name(path)
    if path not in members:
        raise ValueError(f'the compressed file names "{path}" as its score but does not hold it')
    return parse_xml(_unpack(archive, members[path]))


def _check_name(name: str) -> None:
    """Refuse names that lead out of the archive."""
    path = PurePosixPath(name.replace("\\", "/"))
    if path.is_absolute() or ".." in path.parts or ":" in name or "\x00" in name:
        raise ValueError(f'the compressed file holds the unsafe name "{name}"')


def _unpack(archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> bytes:
    """The bytes of a member, read in blocks so that a wrong size in the directory cannot deceive."""
    allowed = min(LARGEST, max(RATIO_FREE, HIGHEST_RATIO * info.compress_size))
    blocks: list[bytes] = []
    size = 0
    with archive.open(info) as stream:
        while block := stream.read(_BLOCK):
            size += len(block)
            if size > allowed:
                raise ValueError("the compressed file unpacks to far too much; it is refused as a zip bomb")
            blocks.append(block)
    return b"".join(blocks)
