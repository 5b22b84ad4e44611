"""All faces behind one door, for callers that only want to know where ink lies."""

from __future__ import annotations

from engrave.fonts.ink_box import InkBox
from engrave.fonts.symbols import MusicFace, music_face
from engrave.fonts.text_face import text_face


class InstalledFaces:
    """Answers for the music face and every text face. Has no state of its own; one instance serves all."""

    __slots__ = ("_music",)

    def __init__(self, music: MusicFace | None = None) -> None:
        """Use `music` as the music face; the project's own by default."""
        self._music = music or music_face()

    def symbol_box(self, name: str) -> InkBox:
        """The ink of a symbol in staff spaces. Raises `UnknownSymbol`."""
        return self._music.glyph(name).box

    def text_ink(self, face: str, text: str, size: float) -> InkBox:
        """The ink of `text` set in the face called `face` at `size`. Raises `UnknownFace`."""
        return text_face(face).ink(text, size)
