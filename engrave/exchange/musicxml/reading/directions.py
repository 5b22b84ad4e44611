"""Directions: words, dynamics, signs that last, tempo, D.C. and D.S."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction

from engrave.exchange.musicxml.reading.harmony import NO_CHORD
from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.marks import SPAN_WORDS, slug
from engrave.exchange.musicxml.reading.music import At, Shared, SpanEdge, StaffMeasure
from engrave.exchange.musicxml.reading.source import Node, one_line, to_number
from engrave.exchange.musicxml.reading.swing import read_equation, read_swing
from engrave.score.sign_list import DYNAMICS

_COUNTING = {"counting on": True, "counting off": False}
"""How the writer says that the count is printed (house rule)."""
_UNITS = {"whole": 1, "half": 2, "quarter": 4, "eighth": 8, "16th": 16, "32nd": 32, "64th": 64}
_SHIFTS = {("down", "8"): "8va", ("up", "8"): "8vb", ("down", "15"): "15ma", ("up", "15"): "15mb"}
"""An octave shift says where the notes are drawn: down for music that sounds higher (MusicXML 4.0, octave-shift)."""
_GO_BACK = re.compile(
    r"(?:d\.?\s?(?P<letter>[cs])\.?|(?P<word>da capo|dal segno))(?:\s+al\s+(?P<to>fine|coda|⊕))?"
)
_BARRE = re.compile(r"(?P<half>½|1/2|half-)?\s*(?:barre|b|c)\.?\s*(?P<fret>[ivx]+|\d+)")
_POSITION = re.compile(r"(?:pos(?:ition|\.)?\s*(?P<fret>[ivx]+|\d+))|(?P<bare>[IVX]+)")
_ROMANS = [
    "I",
    "II",
    "III",
    "IV",
    "V",
    "VI",
    "VII",
    "VIII",
    "IX",
    "X",
    "XI",
    "XII",
    "XIII",
    "XIV",
    "XV",
    "XVI",
    "XVII",
    "XVIII",
    "XIX",
    "XX",
    "XXI",
    "XXII",
    "XXIII",
    "XXIV",
]
_FASTEST = 1000
_NOTE_SIGNS = {
    "\ueca2": "1/1", "\ueca3": "1/2", "\ueca5": "1/4", "\ueca7": "1/8", "\ueca9": "1/16", "\uecb7": ".",
    "\ue1d2": "1/1", "\ue1d3": "1/2", "\ue1d5": "1/4", "\ue1d7": "1/8", "\ue1d9": "1/16", "\ue1e7": ".",
    "\U0001d15d": "1/1", "\U0001d15e": "1/2", "\u2669": "1/4", "\u266a": "1/8", "\U0001d161": "1/16",
}  # fmt: skip
"""Signs of notes in words: metronome marks and notes of SMuFL, Unicode's own."""
_MARK_IN_WORDS = re.compile(
    r"(?P<words>.*?)[\s,;(\[]*(?P<value>1/(?:1|2|4|8|16|32))\s?(?P<dots>\.{0,2})\s*=\s*"
    r"(?:c(?:a|irca)?\.?\s*)?(?P<number>\d{1,4}(?:\.\d+)?)[\s)\].]*",
    re.IGNORECASE,
)
"""A metronome mark typed as words, perhaps behind others: "Andante (1/4 = 72)"."""


_NO_CHORD = re.compile(r"n\.? ?c|no chord")
"""No chord in words, where a file has no `harmony` for it (kind `none`); lower case, without the last full stop."""
_FIRST_BEAT = Fraction(1, 4)
"""A tempo mark that comes earlier in a measure than this is meant for the measure (house rule)."""


@dataclass(slots=True)
class DirectionReader:
    """Reads directions in order; it remembers which dashes belong to a sign that lasts."""

    losses: LossLog
    _dashes: dict[str, tuple[str, str]] = field(default_factory=dict)
    _pending: tuple[Fraction, str] | None = None

    def read(self, node: Node, onset: Fraction, measure: StaffMeasure, shared: Shared) -> None:
        """One direction at `onset`."""
        words: list[str] = []
        dashes: list[Node] = []
        tempo = ""
        for group in node.all("direction-type"):
            for child in group.children:
                if child.tag == "words":
                    words.append(one_line(_with_notes(child.content)))
                    if child.content.strip() and not words[-1]:
                        self.losses.add("sign of a music face among words")
                elif child.tag == "metronome":
                    swing = read_equation(child)
                    if swing is None:
                        tempo = self._metronome(child)
                    else:
                        shared.swing = swing.value
                elif child.tag in ("dashes", "bracket"):
                    dashes.append(child)
                else:
                    self._read_sign(child, onset, measure, shared)
        sound = node.find("sound")
        text = " ".join(word for word in words if word)
        typed = None if tempo else _MARK_IN_WORDS.fullmatch(text)
        if typed is not None and 1 <= float(typed["number"]) <= _FASTEST:
            text, tempo = typed["words"], f"{typed['value']}{typed['dots']} = {typed['number']}"
        is_tempo = bool(tempo) or (sound is not None and bool(sound.get("tempo")))
        handled = bool(text) and self._read_words(text, onset, measure, shared)
        text = "" if handled else text
        for child in dashes:
            self._read_dashes(child, onset, measure)
        if is_tempo and (text or tempo):
            self._set_tempo(text, tempo, onset, measure, shared)
        elif text:
            measure.texts.append(At(onset, text))
        self._read_swing(sound, onset, shared)
        if sound is not None:
            self._read_go_back(sound, shared)

    def read_sound(self, node: Node, onset: Fraction, shared: Shared) -> None:
        """A `sound` that stands by itself."""
        if node.get("tempo"):
            self.losses.add("tempo for playing only")
        self._read_swing(node, onset, shared)
        self._read_go_back(node, shared)

    def _read_swing(self, sound: Node | None, onset: Fraction, shared: Shared) -> None:
        """What is swung from this measure on."""
        swing = read_swing(sound, self.losses)
        if swing is not None:
            shared.swing = swing.value
            if onset >= _FIRST_BEAT:
                self.losses.add("swing inside a measure, from its start on")

    def _metronome(self, node: Node) -> str:
        unit = _UNITS.get(node.text("beat-unit"))
        dots = len(node.all("beat-unit-dot"))
        number = re.search(r"\d+(?:\.\d+)?", node.text("per-minute"))
        if unit is None or dots > 2 or number is None or not 1 <= float(number.group()[:9]) <= _FASTEST:
            self.losses.add("metronome mark")
            return ""
        return f"1/{unit}{'.' * dots} = {number.group()[:9].rstrip('.')}"

    def _set_tempo(
        self, words: str, mark: str, onset: Fraction, measure: StaffMeasure, shared: Shared
    ) -> None:
        """The measure's tempo; a second one, and one later than the first beat, stands as words.

        In many files the first tempo mark comes after a rest on the first beat, where its words were put on the page.
        """
        words = words.replace("=", "≈").strip(" ,")
        text = ", ".join(piece for piece in (words, mark) if piece)
        if not text:
            return
        if onset < _FIRST_BEAT and not shared.tempo:
            shared.tempo = text
        elif onset < _FIRST_BEAT and shared.tempo == text:
            return
        elif onset == 0 and mark and "=" not in shared.tempo and not words:
            shared.tempo = f"{shared.tempo}, {mark}"
        else:
            measure.texts.append(At(onset, words or mark))
            self.losses.add("tempo inside a measure, kept as words")

    def _read_words(self, text: str, onset: Fraction, measure: StaffMeasure, shared: Shared) -> bool:
        """Words that mean something else than themselves: D.C. and D.S., signs that last."""
        lower = text.lower().strip(" .")
        go_back = _GO_BACK.fullmatch(lower)
        if go_back is not None:
            letter = (go_back["letter"] or ("c" if go_back["word"] == "da capo" else "s")).upper()
            goal = {"fine": " al Fine", "coda": " al Coda", "⊕": " al Coda"}.get(go_back["to"] or "", "")
            shared.go_back = f"D.{letter}.{goal}"
            return True
        if lower in ("fine", "to coda"):
            shared.fine = shared.fine or lower == "fine"
            shared.to_coda = shared.to_coda or lower == "to coda"
            return True
        if _NO_CHORD.fullmatch(lower) and all(chord.onset != onset for chord in measure.chords):
            measure.chords.append(At(onset, NO_CHORD))
            return True
        name = SPAN_WORDS.get(slug(text)) or _fret_sign(text)
        if name:
            measure.edges.append(SpanEdge(onset, "words", name, name, True))
            self._pending = (onset, name)
            return True
        return False

    def _read_sign(self, node: Node, onset: Fraction, measure: StaffMeasure, shared: Shared) -> None:
        tag = node.tag
        if tag == "dynamics":
            for word in node.children:
                if word.tag in DYNAMICS:
                    measure.dynamics.append(At(onset, word.tag))
                else:
                    self.losses.add("dynamics")
        elif tag == "wedge":
            self._edge(node, onset, measure, "wedge", {"crescendo": "crescendo", "diminuendo": "diminuendo"})
        elif tag == "octave-shift":
            size = node.get("size", "8")
            names = {kind: name for (kind, wide), name in _SHIFTS.items() if wide == size}
            self._edge(node, onset, measure, "shift", names)
        elif tag == "rehearsal":
            shared.label = shared.label or one_line(node.content)
        elif tag in ("segno", "coda"):
            setattr(shared, tag, True)
        elif tag == "other-direction":
            text = " ".join(node.content.split())
            if text in _COUNTING:
                shared.counting = _COUNTING[text]
            elif text and not self._read_words(text, onset, measure, shared):
                self.losses.add(tag)
        else:
            self.losses.add(tag)

    def _edge(
        self, node: Node, onset: Fraction, measure: StaffMeasure, kind: str, names: dict[str, str]
    ) -> None:
        number = node.get("number", "1")
        word = node.get("type")
        if word == "stop":
            measure.edges.append(SpanEdge(onset, kind, "", number, False))
        elif word in names:
            measure.edges.append(SpanEdge(onset, kind, names[word], number, True))
        elif word != "continue":
            self.losses.add(node.tag)

    def _read_dashes(self, node: Node, onset: Fraction, measure: StaffMeasure) -> None:
        """Dashes after words such as P.M. say how long they hold."""
        number = f"{node.tag} {node.get('number', '1')}"
        if node.get("type") == "start":
            if self._pending is not None and self._pending[0] == onset:
                self._dashes[number] = ("words", self._pending[1])
                name = self._pending[1]
                measure.edges.append(SpanEdge(onset, "open", name, name, True))
            else:
                self.losses.add(node.tag)
        elif node.get("type") == "stop" and number in self._dashes:
            kind, name = self._dashes.pop(number)
            measure.edges.append(SpanEdge(onset, kind, name, name, False))

    def _read_go_back(self, sound: Node, shared: Shared) -> None:
        shared.to_coda = shared.to_coda or bool(sound.get("tocoda"))
        shared.fine = shared.fine or bool(sound.get("fine"))
        shared.segno = shared.segno or bool(sound.get("segno"))
        shared.coda = shared.coda or bool(sound.get("coda"))
        if sound.get("tocoda"):
            shared.coda = bool(sound.get("coda"))
        if not shared.go_back and sound.get("dacapo") == "yes":
            shared.go_back = "D.C."
        if not shared.go_back and sound.get("dalsegno"):
            shared.go_back = "D.S."


def _with_notes(words: str) -> str:
    """Words with note values for the notes among them."""
    return "".join(_NOTE_SIGNS.get(letter, letter) for letter in words)


def _fret_sign(text: str) -> str:
    """Words for a barre or a position, as the name of a span; "" for other words."""
    barre = _BARRE.fullmatch(text.strip().lower())
    if barre is not None and (fret := _fret(barre["fret"])):
        return f"{'half-barre' if barre['half'] else 'barre'} {fret}"
    position = _POSITION.fullmatch(text.strip()) or _POSITION.fullmatch(text.strip().lower())
    if position is not None and (fret := _fret(position["fret"] or position["bare"])):
        return f"position {fret}"
    return ""


def _fret(text: str) -> int:
    if text.upper() in _ROMANS:
        return _ROMANS.index(text.upper()) + 1
    value = to_number(text)
    return int(value) if value is not None and 1 <= value <= len(_ROMANS) else 0
