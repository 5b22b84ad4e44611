"""A small reader of the English words, so that what is told can be compared with what was written."""

from __future__ import annotations

import re
from typing import NamedTuple

from engrave.exchange.words.speech import speaker_of
from engrave.score.sign_list import SIGNS, TOUCHED_HARMONICS, SignName
from engrave.theory.bends import BarMove, BarMoveKind, BendKind, BendStep, bar_move_words, bend_words
from engrave.theory.duration import DENOMINATORS, note_value
from engrave.theory.pitch import Pitch

SPEAKER = speaker_of("en")
TABLE, PHRASES = SPEAKER.table, SPEAKER.phrases


class HeardNote(NamedTuple):
    """A note as it is told; `pitch` is "" where it is not said."""

    string: int
    fret: int
    pitch: str
    held: bool
    tied: bool
    techniques: tuple[str, ...]
    finger: str


class HeardEvent(NamedTuple):
    """An event as it is told."""

    value: str
    tuplets: tuple[tuple[int, int], ...]
    notes: tuple[HeardNote, ...]
    techniques: tuple[str, ...]
    graces: tuple[tuple[str, tuple[HeardEvent, ...]], ...] = ()
    whole: bool = False


def _values():
    for denominator in DENOMINATORS:
        for dots in range(3):
            value = note_value(denominator, dots)
            yield SPEAKER.value(value), (value.name, 1, False)
            yield SPEAKER.rest(value), (value.name, 1, True)
            many = SPEAKER.value(value, (), 2).removeprefix("two ")
            for count in range(2, 65):
                yield f"{SPEAKER.number(count)} {many}", (value.name, count, False)


VALUES = dict(_values())
STRINGS = {name: number for number, name in enumerate(TABLE.strings, start=1)}
FRETS = {SPEAKER.fret(number): number for number in range(40)}
COUNTS = {SPEAKER.number(number): number for number in range(1, 65)}
PITCHES = {
    SPEAKER.pitch(pitch): pitch.name
    for pitch in (Pitch(step, alter, octave) for step in range(7) for alter in range(-2, 3) for octave in range(-1, 10))
}  # fmt: skip
PLAIN = {SPEAKER.sign(sign): sign.value for sign in (*SIGNS, SignName.SLASH)}
AMOUNTS = {words: number for number, words in enumerate(TABLE.steps, start=1)}
PLUCKED = {words: f"pluck {finger}" for finger, words in TABLE.pluck.items()}
FINGERS = {SPEAKER.finger(finger): finger for finger in "01234T"}


def outside(text, separator):
    """`text` in pieces, cut at `separator` where it stands in no brackets."""
    pieces, depth, start = [], 0, 0
    for at, character in enumerate(text):
        depth += {"(": 1, ")": -1}.get(character, 0)
        if depth == 0 and text.startswith(separator, at) and at >= start:
            pieces.append(text[start:at])
            start = at + len(separator)
    return [*pieces, text[start:]]


def matched(pattern, text):
    """What stands in the slot of a phrase; None where it is another phrase."""
    found = re.fullmatch(re.escape(pattern).replace(r"\{\}", "(.+)"), text)
    return found and found[1]


def lowered(text):
    return text[:1].lower() + text[1:]


def hear_value(head):
    value, *ratios = head.split(", ")
    tuplets = tuple(
        tuple(map(int, re.fullmatch(r"(\d+) in the time of (\d+)", ratio).groups())) for ratio in ratios
    )
    return (*VALUES[lowered(value)], tuplets)


def hear_sentence(text):
    """One event by itself, as under every note and in grace notes."""
    body, *rest = outside(text, " (")
    head, _, notes = body.partition(": ")
    techniques, graces = hear_whole(rest)
    if lowered(head) == PHRASES.whole_rest:
        return HeardEvent("", (), (), techniques, graces, True)
    value, _, _, tuplets = hear_value(head)
    return HeardEvent(value, tuplets, hear_chord(notes, 0), techniques, graces)


def hear_whole(rest):
    """What is said of an event as a whole: techniques, grace notes."""
    if not rest:
        return (), ()
    techniques, graces = [], []
    for said in outside(rest[0].removesuffix(")"), ", "):
        kind, bracket, inner = said.partition(" (")
        if bracket and kind in ("grace note", "appoggiatura", "closing grace notes"):
            events = tuple(hear_sentence(each) for each in outside(inner.removesuffix(")"), "; "))
            graces.append((kind, events))
        elif "“" not in said and said != PHRASES.syllable_held:
            techniques.append(hear_technique(said))
    return tuple(sorted(techniques)), tuple(graces)


def hear_chord(text, string):
    return tuple(hear_note(each, string) for each in text.split(" plus ")) if text else ()


def hear_note(text, string):
    fret, pitch, finger, held, tied = 0, "", "", False, False
    techniques, steps = [], []
    for said in text.split(", "):
        inner = said
        while True:  # what leads to the note stands around its place
            reached = next(((s, x) for s, p in TABLE.reached.items() if (x := matched(p, inner))), None)
            if reached is None:
                break
            techniques.append(reached[0])
            inner = reached[1]
        if inner in STRINGS:
            string = STRINGS[inner]
        elif inner in FRETS:
            fret = FRETS[inner]
        elif inner in PITCHES:
            pitch = PITCHES[inner]
        elif said in FINGERS:
            finger = FINGERS[said]
        elif said in (PHRASES.held, PHRASES.tied):
            held, tied = held or said == PHRASES.held, tied or said == PHRASES.tied
        elif (step := hear_bend(said, steps)) is not None:
            steps.append(step)
        else:
            techniques.append(hear_technique(said))
            if (node := matched(PHRASES.node, said)) is not None:
                fret = int(float(node))
    if steps:
        techniques.append(f"bend {bend_words(steps)}")
    string = 0 if "slash" in techniques or (not string and pitch) else string
    return HeardNote(string, fret, pitch, held, tied, tuple(sorted(techniques)), finger)


def hear_bend(said, before):
    kinds = {
        PHRASES.pre_bend: BendKind.PRE_BEND,
        PHRASES.bend: BendKind.BEND,
        PHRASES.release_to: BendKind.RELEASE,
    }
    for pattern, kind in kinds.items():
        amount = matched(pattern, said)
        if amount in AMOUNTS:
            return BendStep(kind, AMOUNTS[amount] / 2)
    if said == PHRASES.release:
        return BendStep(BendKind.RELEASE, 0)
    return BendStep(BendKind.HOLD, before[-1].semitones) if said == PHRASES.hold else None


def hear_technique(said):
    if said in PLAIN:
        return PLAIN[said]
    if said in PLUCKED:
        return PLUCKED[said]
    if node := matched(PHRASES.node, said):
        return f"natural-harmonic {node}"
    if fret := matched(PHRASES.trill_to, said):
        return f"trill {FRETS[fret]}"
    for sign in TOUCHED_HARMONICS:
        if found := re.fullmatch(rf"{SPEAKER.sign(sign)} touched over fret (\d+)", said):
            return f"{sign} {found[1]}"
    return hear_bar(said)


def hear_bar(said):
    move, _, amount = said.partition(" by ")
    kind = next(kind for kind, words in TABLE.bar_moves.items() if words == move)
    semitones = AMOUNTS[amount] / 2 if amount else 0
    return f"{SignName.VIBRATO_BAR} {bar_move_words(BarMove(BarMoveKind(kind), semitones))}"


def hear_line(text):
    """All events of a line, in which values, strings and what repeats itself are said once."""
    events = []
    for group in outside(text.removesuffix("."), ". "):
        head, colon, items = group.partition(": ")
        if not colon or lowered(head).split(" (")[0] == PHRASES.whole_rest:
            events.append(hear_sentence(group))
            continue
        if outside(group, " (")[0].find(": ") < 0:
            events.append(hear_sentence(group))
            continue
        value, count, _, tuplets = hear_value(head)
        before, string = len(events), 0
        for item in outside(items, "; "):
            notes, *rest = outside(item, " (")
            *said, last = notes.split(", ")
            times = COUNTS[last.removesuffix(" times")] if last.endswith(" times") else 1
            plain = notes if times == 1 else ", ".join(said)
            chord = events[-1].notes if plain == PHRASES.same_notes else hear_chord(plain, string)
            string = chord[0].string if len(chord) == 1 else 0
            events += [HeardEvent(value, tuplets, chord, *hear_whole(rest))] * times
        assert len(events) - before == count, group
    return tuple(events)


def hear(text):
    """The parts of a text by the order in which they are told: for each its measures, for each of those its voices."""
    parts, measures, numbers = [], None, {}
    text = re.sub("“[^”]*”", "“”", text)
    _, *paragraphs = text.rstrip("\n").split("\n\n")
    for paragraph in paragraphs:
        title, *lines = paragraph.split("\n")
        if not lines and not title.startswith("Section "):
            measures, numbers = [], {}
            parts.append(measures)
        elif measures is not None and lines:
            told = _measures(title, lines, measures, numbers)
            number = re.search(r"\d+", title)
            for offset, voices in enumerate(told):
                numbers[int(number[0]) + offset if number else "pickup"] = len(measures)
                measures.append(voices)
    return parts


def _measures(title, lines, measures, numbers):
    for line in lines:
        if found := re.fullmatch(r"The same as measures (\d+) to (\d+)\.", line):
            first = numbers[int(found[1])]
            return measures[first : first + int(found[2]) - int(found[1]) + 1]
        if found := re.fullmatch(r"The same as (?:measure (\d+)|the pickup measure)\.", line):
            return [measures[numbers[int(found[1]) if found[1] else "pickup"]]]
        if found := re.fullmatch(r"Repeat sign: the last (?:(\d+) measures|measure) again\.", line):
            return [("again", int(found[1] or 1))]
        if found := re.fullmatch(r"Rest for (\d+) measures\.", line):
            return [("rests", int(found[1]))]
    voices = []
    for line in lines:
        name, _, rest = line.partition(": ")
        if line in ("Notes:", "Upper voice:", "Lower voice:"):
            voices.append(())
        elif found := re.fullmatch(r"Beat \d+(?: and \d+/\d+)?, (.*)\.", line):
            voices[-1] += (hear_sentence(found[1]),)
        elif name in ("Upper voice", "Lower voice"):
            voices.append(hear_line(rest))
        elif lowered(name.split(", ")[0]) in VALUES or re.match(
            r"[A-Z][a-z-]*( [a-z-]+)* rest[. (]|Rest for the", line
        ):
            voices.append(hear_line(line))
    return [tuple(voices)]
