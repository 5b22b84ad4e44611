"""Notations of a note read into marks and keys of the score language."""

from __future__ import annotations

import re
from fractions import Fraction

from engrave.exchange.musicxml.reading.losses import LossLog
from engrave.exchange.musicxml.reading.music import Tone, VoiceEvent
from engrave.exchange.musicxml.reading.source import Node
from engrave.score.sign_list import MARKS, SIGNS, Carrier, SignName
from engrave.theory.bends import amount_label, parse_bar_move, parse_bend

_SAME_NAME = frozenset(
    [
        "staccato",
        "staccatissimo",
        "tenuto",
        "accent",
        "strong-accent",
        "soft-accent",
        "breath-mark",
        "caesura",
        "fingernails",
        "golpe",
        "mordent",
        "inverted-mordent",
        "turn",
        "inverted-turn",
        "delayed-turn",
        "delayed-inverted-turn",
    ]
)
"""Elements called like their mark (MusicXML 4.0)."""
_OTHER_NAME = {
    "detached-legato": "tenuto",
    "down-bow": "pick-down",
    "up-bow": "pick-up",
    "snap-pizzicato": "snap",
    "trill-mark": "trill",
}
_ON_NOTE = {
    "scoop": "slide-from-below",
    "plop": "slide-from-above",
    "doit": "slide-away-up",
    "falloff": "slide-away-down",
}
_HIDDEN = frozenset(("tied", "tuplet", "string", "fret", "accidental-mark-none"))
"""Elements that are read elsewhere."""
_STROKES = ("strum-down", "strum-up", "rake")
_FINGERS = ("0", "1", "2", "3", "4", "T")
_OCTAVE_NODE = 12
"""Frets above a stopped one where a harmonic is touched when the file does not say (common practice, no source)."""
SPAN_WORDS = {"palm-mute": "palm-mute", "p-m": "palm-mute", "pm": "palm-mute", "let-ring": "let-ring"}
"""Words for signs that last, with hyphens for spaces and points."""
_HARMONIC = re.compile(
    r"(?P<kind>(?:natural|artificial|tapped|touched)-harmonic) (?P<node>[1-3]?\d(?:\.\d)?)"
)
"""How the writer says where a harmonic is touched (house rule)."""
_TRILL = re.compile(r"trill ([1-3]?\d)")
"""How the writer says to which fret a trill goes (house rule)."""


def slug(text: str) -> str:
    """Lower case with hyphens for spaces, underscores and points: "P. M." becomes "p-m"."""
    cleaned = "".join(sign if sign.isalnum() else "-" for sign in text.lower())
    return "-".join(piece for piece in cleaned.split("-") if piece)


def read_notations(
    note: Node, tone: Tone, event: VoiceEvent, losses: LossLog, own: bool = False
) -> list[str]:
    """Add the marks of `note` to its tone and event; what cannot be said is a loss.

    `own`: the file is from the writer of this project, where a slur with the number of a slide belongs to that.
    Returns the names of signs that last for this note: palm-mute, let-ring.
    """
    lasting: list[str] = []
    tells_trill = any(
        _TRILL.fullmatch(word.content.strip())
        for notations in note.all("notations")
        for technical in notations.all("technical")
        for word in technical.all("other-technical")
    )
    for notations in note.all("notations"):
        for child in notations.children:
            if child.tag in ("technical", "articulations", "ornaments"):
                for element in child.children:
                    if element.tag == "accidental-mark" and tells_trill:
                        continue  # the fret says it
                    lasting.extend(_read_element(element, child, tone, event, losses))
                if child.tag == "technical":
                    _read_technical_groups(child, tone, losses)
            elif child.tag == "dynamics":
                continue
            elif child.tag == "slur":
                _read_slur(child, notations, event, own)
            elif child.tag in ("slide", "glissando"):
                _read_slide(child, notations, tone, own)
            else:
                lasting.extend(_read_element(child, notations, tone, event, losses))
    if tells_trill:
        event.marks[:] = [name for name in event.marks if name != "trill"]
    _read_head(note, tone, losses)
    _settle(tone, event)
    return lasting


def _settle(tone: Tone, event: VoiceEvent) -> None:
    """Marks by name on what carries them; a strum or a wide vibrato stands alone, without its plain element."""
    for name in [name for name in event.marks if SIGNS[SignName(name)].carrier is Carrier.NOTE]:
        event.marks.remove(name)
        _add(tone.marks, name)
    if "wide-vibrato" in tone.marks and "vibrato" in tone.marks:
        tone.marks.remove("vibrato")
    if any(name in event.marks for name in _STROKES):
        event.marks[:] = [name for name in event.marks if not name.startswith("arpeggiate")]


def _add(row: list[str], name: str) -> None:
    if name not in row:
        row.append(name)


def _read_element(
    element: Node, group: Node, tone: Tone, event: VoiceEvent, losses: LossLog
) -> tuple[str, ...] | list[str]:
    tag = element.tag
    if tag in _HIDDEN or tag in ("bend", "harmonic"):
        return ()
    if tag in _SAME_NAME:
        _add(event.marks, tag)
    elif tag in _OTHER_NAME:
        _add(event.marks, _OTHER_NAME[tag])
    elif tag in _ON_NOTE:
        _add(tone.marks, _ON_NOTE[tag])
    elif tag == "fermata":
        _add(event.marks, "fermata")
    elif tag in ("hammer-on", "pull-off"):
        if element.get("type") == "stop":
            _add(tone.marks, tag)
    elif tag == "wavy-line":
        if element.get("type") == "start" and not group.has("trill-mark"):
            _add(tone.marks, "vibrato")
    elif tag == "arpeggiate":
        direction = element.get("direction")
        _add(event.marks, f"arpeggiate-{direction}" if direction in ("up", "down") else "arpeggiate")
    elif tag == "non-arpeggiate":
        _add(event.marks, tag)
    elif tag == "tap":
        if not group.has("harmonic"):
            _add(event.marks, "left-hand-tap" if element.get("hand") == "left" else "tap")
    elif tag == "tremolo":
        _read_tremolo(element, event, losses)
    elif tag in ("fingering", "pluck"):
        _read_finger(element, tone, losses)
    elif tag in ("other-technical", "other-articulation", "other-ornament", "other-notation"):
        return _read_other(element, tone, event, losses)
    else:
        losses.add(tag)
    return ()


def _read_slur(element: Node, group: Node, event: VoiceEvent, own: bool) -> None:
    """An end of a slur; where it goes on over a line break says nothing."""
    kind, number = element.get("type"), _number(element)
    if kind in ("start", "stop") and not (
        own and any(_number(slide) == number for slide in group.all("slide"))
    ):
        event.slurs.append((kind, number))


def _read_slide(element: Node, group: Node, tone: Tone, own: bool) -> None:
    """The mark stands on the note that is reached; with a slur over it the note is not struck again."""
    if element.get("type") != "stop":
        return
    number = _number(element)
    slurred = own and any(_number(s) == number and s.get("type") == "stop" for s in group.all("slur"))
    tone.slid = tone.slid or element.tag == "slide"
    _add(tone.marks, "slurred-slide" if element.tag == "slide" and slurred else "slide")


def _number(element: Node) -> str:
    """What tells a slur or a slide from others at the same time (MusicXML 4.0, number: 1 where it is not said)."""
    return element.get("number") or "1"


def _read_tremolo(element: Node, event: VoiceEvent, losses: LossLog) -> None:
    """One stroke repeats in eighths, two in sixteenths, three or more as fast as can be."""
    if element.get("type", "single") not in ("single", "unmeasured"):
        losses.add("tremolo between two notes")
        return
    strokes = element.content.strip()
    written = event.written or event.length
    if strokes == "1" and written >= Fraction(1, 4):
        _add(event.marks, "tremolo-eighths")
    elif strokes == "2" and written >= Fraction(1, 8):
        _add(event.marks, "tremolo-sixteenths")
    else:
        _add(event.marks, "tremolo")


def _read_finger(element: Node, tone: Tone, losses: LossLog) -> None:
    text = element.content.strip()
    if element.tag == "pluck":
        if text.lower() in ("p", "i", "m", "a", "c"):
            tone.keys.setdefault("pluck", text.lower())
        else:
            losses.add("pluck")
    elif text.upper() in _FINGERS and "finger" not in tone.keys:
        tone.keys["finger"] = int(text) if text.isdigit() else "T"
    else:
        losses.add("fingering")


def _read_other(element: Node, tone: Tone, event: VoiceEvent, losses: LossLog) -> list[str]:
    harmonic = _HARMONIC.fullmatch(element.content.strip())
    if harmonic is not None:
        if harmonic["kind"] != "natural-harmonic":
            tone.keys[harmonic["kind"]] = int(float(harmonic["node"]))
        elif "." in harmonic["node"]:
            tone.node = harmonic["node"]
        return []
    trill = _TRILL.fullmatch(element.content.strip())
    if trill is not None:
        tone.keys["trill"] = int(trill[1])
        return []
    name = slug(element.content)
    if name in SPAN_WORDS:
        return [SPAN_WORDS[name]]
    if name in MARKS:
        _add(event.marks, name)
    else:
        losses.add(element.tag)
    return []


def _read_head(note: Node, tone: Tone, losses: LossLog) -> None:
    head = note.find("notehead")
    if head is None:
        return
    if head.get("parentheses") == "yes":
        _add(tone.marks, "ghost")
    kind = head.content.strip()
    if kind in ("x", "cross"):
        tone.dead = True
    elif kind == "slash":
        tone.slash = True
    elif kind not in ("", "normal"):
        losses.add(f"{kind} notehead")


def _read_technical_groups(technical: Node, tone: Tone, losses: LossLog) -> None:
    bends = technical.all("bend")
    if bends:
        _read_bends(bends, tone, losses)
    harmonic = technical.find("harmonic")
    if harmonic is None:
        return
    if harmonic.has("natural"):
        _add(tone.marks, "natural-harmonic")
    elif harmonic.has("artificial") or harmonic.has("touching-pitch") or technical.has("tap"):
        kind = "artificial-harmonic" if harmonic.has("artificial") else "touched-harmonic"
        if technical.has("tap"):
            kind = "tapped-harmonic"
        if tone.fret is not None or technical.text("fret").isdigit():
            tone.keys[kind] = (tone.fret or 0) + _OCTAVE_NODE
        else:
            losses.add("harmonic")
    else:
        _add(tone.marks, "pinch-harmonic")


def _read_bends(bends: list[Node], tone: Tone, losses: LossLog) -> None:
    """A row of bends as words; `bend-alter` counts from the step before (MusicXML 4.0, bend-alter)."""
    if bends[0].has("with-bar"):
        _read_vibrato_bar(bends[0], tone, losses)
        return
    words: list[str] = []
    level = tone.bent
    for bend in bends:
        alter = Fraction(round(2 * (bend.number("bend-alter") or 0)), 2)
        try:
            if bend.has("release") or alter < 0:
                level = level + alter if alter < 0 else Fraction(0)
                words.append("release" if level <= 0 else f"release to {_bend_word(level)}")
            elif alter == 0:
                words.append("hold")
            else:
                level += alter
                pre = "pre " if bend.has("pre-bend") else ""
                words.append(f"{'then ' if words else ''}{pre}{_bend_word(level)}")
        except ValueError:
            losses.add("bend")
            return
    tone.bent = level
    text = " ".join(words)
    try:
        parse_bend(text, tone.tied)
    except ValueError:
        losses.add("bend")
    else:
        tone.keys["bend"] = text


def _bend_word(semitones: Fraction) -> str:
    """How far a string is bent, as a person writes it. Raises ValueError like `amount_label`."""
    label = amount_label(semitones)
    return "quarter" if label == "1/4" else label


def _read_vibrato_bar(bend: Node, tone: Tone, losses: LossLog) -> None:
    kind = next((word for word in ("dip", "dive", "scoop", "vibrato") if word in bend.text("with-bar")), "")
    alter = Fraction(round(2 * abs(bend.number("bend-alter") or 0)), 2)
    try:
        amount = amount_label(alter) if alter and kind != "vibrato" else ""
        text = f"{kind or ('dip' if bend.has('release') else 'dive')} {amount}".strip()
        parse_bar_move(text)
    except ValueError:
        losses.add("vibrato bar")
    else:
        tone.keys["vibrato-bar"] = text
