"""What stands before the music: titles, credits, rights, house facts, and the list of parts."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from engrave.exchange.musicxml.reading.shapes import FINGERS_FOLLOW, SHAPE_FIELD, SOFTWARE
from engrave.exchange.musicxml.writing.xml import add
from engrave.score.braces import braced_runs
from engrave.score.structure import Part, Score
from engrave.theory.chord_shape import ChordShape
from engrave.writing.score_tree import size_tree


def add_head(root: Element, score: Score) -> None:
    """Add everything up to and with the list of parts."""
    if score.title:
        add(add(root, "work"), "work-title", score.title)
    _add_identification(root, score)
    for kind, text in _credits(score):
        credit = add(root, "credit", page=1)
        add(credit, "credit-type", kind)
        add(credit, "credit-words", text)
    listed = add(root, "part-list")
    for number, run in enumerate(braced_runs(score.parts), start=1):
        if len(run) > 1:
            group = add(listed, "part-group", type="start", number=number)
            add(group, "group-name", score.parts[run[0]].brace)
            add(group, "group-symbol", "brace")
            add(group, "group-barline", "yes")
        for index in run:
            _add_part(listed, score.parts[index], index)
        if len(run) > 1:
            add(listed, "part-group", type="stop", number=number)


def part_id(index: int) -> str:
    """The id of a part in the file; the part's own id need not be a name of XML."""
    return f"P{index + 1}"


def _credits(score: Score) -> list[tuple[str, str]]:
    """The words on the first page by their type (MusicXML 4.0, credit-type)."""
    made = score.credits
    rows = [
        ("title", score.title),
        ("subtitle", score.subtitle),
        ("composer", made.music),
        ("lyricist", made.words),
        ("arranger", made.arrangement),
        ("rights", score.copyright),
    ]
    return [(kind, text) for kind, text in rows if text]


def _add_identification(root: Element, score: Score) -> None:
    identification = add(root, "identification")
    made = score.credits
    for kind, text in (("composer", made.music), ("lyricist", made.words), ("arranger", made.arrangement)):
        if text:
            add(identification, "creator", text, type=kind)
    if score.copyright:
        add(identification, "rights", score.copyright)
    add(add(identification, "encoding"), "software", SOFTWARE)
    _add_facts(
        identification,
        {
            "language": score.language,
            "view": score.view.value,
            "style": score.style,
            **size_tree(score.paper_size),
            "grids": score.grids.value,
            "left-handed": "yes" if score.left_handed else "",
            "explain-signs": score.explain_signs.value,
            **{f"{SHAPE_FIELD}{named.name.text}": _shape(named.shape) for named in score.shapes},
        },
    )


def _shape(shape: ChordShape) -> str:
    return FINGERS_FOLLOW.join(filter(None, (shape.frets_text, shape.fingers_text)))


def _add_facts(identification: Element, facts: dict[str, str]) -> None:
    """Facts that have no element of their own (MusicXML 4.0, miscellaneous)."""
    fields = {name: value for name, value in facts.items() if value}
    if fields:
        miscellaneous = add(identification, "miscellaneous")
        for name, value in fields.items():
            add(miscellaneous, "miscellaneous-field", value, name=name)


def _add_part(listed: Element, part: Part, index: int) -> None:
    entry = add(listed, "score-part", id=part_id(index))
    instrument = part.instrument
    facts = {"id": part.id, "view": part.view.value if part.view is not None else ""}
    if part.is_fretted:
        facts |= {
            "frets": str(instrument.frets),
            "scale-length": f"{instrument.scale_length:g}",
            "first-frets": " ".join(map(str, instrument.first_frets)),
        }
    _add_facts(add(entry, "identification"), facts)
    add(entry, "part-name", part.name)
    played = add(entry, "score-instrument", id=f"{part_id(index)}-I1")
    add(played, "instrument-name", instrument.name)
