"""Finished songs kept between runs: found by what they were made from, and believed only when they are whole."""

from __future__ import annotations

import hashlib
import json
import zlib
from functools import cache
from pathlib import Path
from typing import Any

from engrave.documents.songbook import SongFacts, Strings
from engrave.drawing.pdf.drawn import DrawnPages, PageCode, PageLink
from engrave.fonts.face_files import ALL_FACES, face_file
from engrave.problems import NOWHERE
from engrave.products.songs import SongJob, SongResult
from engrave.resources import data_folder
from engrave.source.inputs import read_input
from engrave.source.tree import SourceMap
from engrave.style.load import find_style_file
from engrave.version import __version__
from engrave.whole_files import remove_leftovers, replace_file

_DIGEST = 32
"""Bytes of a SHA-256 digest, which stands before the content of every file."""
_BUFFER = 1 << 20


class SongCache:
    """Songs in a folder. Without a folder nothing is kept. A file that is not whole counts as missing."""

    def __init__(self, folder: str) -> None:
        """Use `folder`, which is made when the first song is kept; "" keeps nothing."""
        self._folder = Path(folder) if folder else None
        self.complaint = ""
        """Why songs could not be kept."""
        if folder:
            remove_leftovers(folder)

    def key(self, job: SongJob) -> str:
        """What finds the song made from the text and style as they are now; "" where nothing is kept of it."""
        if self._folder is None:
            return ""
        try:
            return song_key(job)
        except (OSError, ValueError):  # told when the song is made
            return ""

    def find(self, key: str) -> SongResult | None:
        """The song as it was made from the same text, style, faces and program; None when it must be made."""
        if self._folder is None or not key:
            return None
        try:
            data = (self._folder / key).read_bytes()
            if hashlib.sha256(data[_DIGEST:]).digest() != data[:_DIGEST]:
                return None
            return _unpack(json.loads(zlib.decompress(data[_DIGEST:])))
        except (OSError, ValueError, KeyError, TypeError, zlib.error):
            return None

    def keep(self, key: str, result: SongResult) -> None:
        """Keep a song that was made without a word of complaint. A folder that cannot be written is no mistake."""
        if self._folder is None or not key or result.pages is None or result.problems or self.complaint:
            return
        if any(page.pictures for page in result.pages.pages):
            return
        content = zlib.compress(json.dumps(_pack(result)).encode("utf-8"), 3)
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            whole = hashlib.sha256(content).digest() + content
            replace_file(self._folder / key, whole, is_lasting=False)
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or str(error)
            self.complaint = f"songs cannot be kept in {self._folder}: {reason}"


def song_key(job: SongJob) -> str:
    """The name under which a song is kept: a digest of everything that its pages depend on. Raises OSError and ValueError."""
    digest = hashlib.sha256(program_digest())
    song = job.song._replace(location=NOWHERE, changes=None)
    for piece in (
        repr(song),
        job.style,
        repr(sorted(job.known)),
        str(job.rated),
        repr(job.sheet),
        job.language,
        _plain(job.changes),
        _plain(job.song.changes),
    ):
        digest.update(piece.encode("utf-8", "surrogatepass") + b"\0")
    style = find_style_file(job.style or "base", job.beside)  # what it is based on is shipped
    for path in (job.song.path, *([style] if style is not None else ())):
        digest.update(hashlib.sha256(read_input(path)).digest())
    return digest.hexdigest()


def _plain(changes: Any) -> str:
    return json.dumps(changes, sort_keys=True) if isinstance(changes, SourceMap) else ""


@cache
def program_digest() -> bytes:
    """The version, the program's own files, its styles and the faces."""
    digest = hashlib.sha256(__version__.encode())
    package = Path(__file__).resolve().parent.parent
    files = [*sorted(package.rglob("*.py")), *sorted((data_folder() / "styles").rglob("*.yaml"))]
    files.extend(face_file(face) for face in ALL_FACES)
    for path in files:
        digest.update(path.name.encode())
        with path.open("rb") as stream:
            while block := stream.read(_BUFFER):
                digest.update(block)
    return digest.digest()


def _pack(result: SongResult) -> dict[str, Any]:
    assert result.pages is not None
    return {
        "pages": [[p.width, p.height, p.code, p.links, p.anchors] for p in result.pages.pages],
        "used": {face: sorted(characters) for face, characters in result.pages.used.items()},
        "facts": result.facts,
        "turns": result.turns,
    }


def _unpack(data: dict[str, Any]) -> SongResult:
    pages = tuple(
        PageCode(
            width,
            height,
            code,
            tuple(PageLink(tuple(area), target) for area, target in links),
            (),
            tuple(anchors),
        )
        for width, height, code, links, anchors in data["pages"]
    )
    used = {face: set(characters) for face, characters in data["used"].items()}
    title, writers, first_line, key, (instrument, pitches, named), signs, hard, language, found = data[
        "facts"
    ]
    strings = Strings(instrument, tuple(pitches), named)
    facts = SongFacts(
        title=title,
        writers=tuple(writers),
        first_line=first_line,
        key=key,
        tuning=strings,
        signs=tuple(signs),
        difficulty=hard,
        language=language,
        sign_pages=tuple((sign, page) for sign, page in found),
    )
    turns = tuple((page, measure) for page, measure in data["turns"])
    return SongResult((), len(pages), DrawnPages(pages, used), facts, turns)
