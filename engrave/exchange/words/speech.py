"""Single things in words: values, pitches, places on the neck, chords, moments, ways of playing."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple, assert_never

from engrave.exchange.words.vocabulary import ALTERS, Phrases, SpokenTable, ValueNames, fill, load_spoken
from engrave.score.sign_list import SignName
from engrave.score.structure import Tempo, Tuplet
from engrave.score.techniques import (
    Bend,
    NaturalHarmonic,
    Plain,
    Pluck,
    Spelling,
    StoppedHarmonic,
    Technique,
    Trill,
    TrillAccidental,
    VibratoBar,
)
from engrave.style.wordbook import Wordbook, base_language, load_wordbook
from engrave.theory.bends import BendKind, BendStep
from engrave.theory.chord_name import ChordName
from engrave.theory.duration import NoteValue
from engrave.theory.key import Key
from engrave.theory.metre import Metre
from engrave.theory.pitch import STEPS, Pitch

_SIGNS = {-2: "bb", -1: "b", 0: "", 1: "#", 2: "##"}
_EXTENSION = re.compile(r"maj|ma|M|△|sus|add|no|alt|[#b](?=\d)|\d+")
_MAJOR = ("maj", "ma", "M", "△")
_QUARTERS_OF_A_STEP = 2
"""A quarter of a whole step is half a semitone."""


class Speaker(NamedTuple):
    """Tells things in one language."""

    table: SpokenTable
    book: Wordbook

    @property
    def phrases(self) -> Phrases:
        """The sentences of the language."""
        return self.table.phrases

    def number(self, number: int) -> str:
        """A number as a word while it is small: "two", "13"."""
        counts = self.table.counts
        return counts[number - 1] if 0 < number <= len(counts) else str(number)

    def value(self, value: NoteValue, tuplets: Sequence[Tuplet] = (), count: int = 1) -> str:
        """So many notes of a value: "eighth", "two dotted quarters", "three eighths, 3 in the time of 2"."""
        names = self.table.values[str(value.denominator)]
        if value.dots:
            word = self._doubled(names.dotted if count == 1 else names.dotted_many, value)
        else:
            word = names.one if count == 1 else names.many
        return self._in_tuplets(word if count == 1 else f"{self.number(count)} {word}", tuplets)

    def rest(self, value: NoteValue, tuplets: Sequence[Tuplet] = ()) -> str:
        """The rest of a value."""
        names: ValueNames = self.table.values[str(value.denominator)]
        word = self._doubled(names.dotted_rest, value) if value.dots else names.rest
        return self._in_tuplets(word, tuplets)

    def _doubled(self, word: str, value: NoteValue) -> str:
        return fill(self.table.double_dotted, word) if value.dots > 1 else word

    def _in_tuplets(self, word: str, tuplets: Sequence[Tuplet]) -> str:
        ratios = [
            fill(self.phrases.tuplet, actual=str(t.ratio.actual), normal=str(t.ratio.normal)) for t in tuplets
        ]
        return ", ".join((word, *ratios))

    def note_name(self, step: int, alter: int) -> str:
        """A note without its octave: "F sharp"."""
        own = self.table.note_names.get(STEPS[step] + _SIGNS[alter])
        return own or fill(self.table.accidentals[ALTERS[alter]], self.table.notes[step])

    def pitch(self, pitch: Pitch) -> str:
        """A note with its octave, 4 from middle C up: "F sharp octave 4"."""
        name = self.note_name(pitch.step, pitch.alter)
        return fill(self.phrases.octave, pitch=name, octave=str(pitch.octave))

    def string(self, string: int) -> str:
        """A string, 1 the thinnest: "third string"."""
        return self.table.strings[string - 1]

    def fret(self, fret: int) -> str:
        """A fret, 0 the open string: "open", "second fret", "fret 13"."""
        frets = self.table.frets
        return frets[fret] if fret < len(frets) else fill(self.phrases.fret, str(fret))

    def sign(self, sign: str) -> str:
        """What a sign is called inside a sentence."""
        phrases = self.phrases
        ends = {
            SignName.SLUR.value: phrases.slur_begins,
            SignName.END_SLUR.value: phrases.slur_ends,
            SignName.PHRASE.value: phrases.phrase_begins,
            SignName.END_PHRASE.value: phrases.phrase_ends,
        }
        return ends.get(sign) or self._lowered(self.book.signs[sign].name)

    def _lowered(self, name: str) -> str:
        return name[:1].lower() + name[1:] if self.table.lowers_names else name

    def technique(self, technique: Technique) -> str:
        """How a note is played: "staccato", "bend up a whole step, release"."""
        phrases = self.phrases
        match technique:
            case Plain():
                return self.sign(technique.sign)
            case Bend():
                return ", ".join(self._bend(step) for step in technique.steps)
            case VibratoBar():
                move = self.table.bar_moves[technique.move.kind.value]
                by = technique.move.semitones
                return fill(phrases.bar_by, move=move, amount=self.amount(by)) if by else move
            case Pluck():
                return self.table.pluck[technique.finger.value]
            case Trill():
                return fill(phrases.trill_to, self.fret(technique.to))
            case TrillAccidental():
                return fill(phrases.upper_note, self._accidental(technique.alter))
            case NaturalHarmonic():
                return fill(phrases.node, technique.label.replace(".", self.book.page.decimal))
            case StoppedHarmonic():
                return fill(phrases.touched, name=self.sign(technique.sign), fret=str(technique.touched))
            case Spelling():
                return self.phrases.together.join(map(self.pitch, technique.pitches))
            case _:
                assert_never(technique)

    def _accidental(self, alter: int) -> str:
        """An accidental alone: "flat", "natural"."""
        return fill(self.table.accidentals[ALTERS[alter]]).strip() if alter else self.phrases.natural

    def _bend(self, step: BendStep) -> str:
        phrases = self.phrases
        match step.kind:
            case BendKind.PRE_BEND:
                return fill(phrases.pre_bend, self.amount(step.semitones))
            case BendKind.BEND:
                return fill(phrases.bend, self.amount(step.semitones))
            case BendKind.HOLD:
                return phrases.hold
            case BendKind.RELEASE if step.semitones:
                return fill(phrases.release_to, self.amount(step.semitones))
            case BendKind.RELEASE:
                return phrases.release
            case _:
                assert_never(step.kind)

    def amount(self, semitones: Fraction) -> str:
        """How far a string is bent, from a quarter of a whole step to three."""
        return self.table.steps[int(semitones * _QUARTERS_OF_A_STEP) - 1]

    def finger(self, finger: str) -> str:
        """A finger of the fretting hand, as it is written: "1" to "4", "T", "0"."""
        named = {"T": self.phrases.finger_thumb, "0": self.phrases.finger_open}
        return named.get(finger) or fill(self.phrases.finger, finger)

    def chord(self, name: ChordName) -> str:
        """A chord's name: "F sharp minor 7 flat 5 over E"."""
        words = self.table.chord_words
        if name.root is None:
            return words["none"]
        extension = name.extension or ("7" if name.quality == "half" else "")
        parts = [self.note_name(*name.root), words.get(name.quality, ""), *self._extension(extension)]
        said = " ".join(filter(None, parts))
        if name.bass is None:
            return said
        return fill(self.phrases.over, chord=said, bass=self.note_name(*name.bass))

    def _extension(self, extension: str) -> Iterator[str]:
        words = self.table.chord_words
        for token in _EXTENSION.findall(extension):
            if token in ("#", "b"):
                yield words["sharp" if token == "#" else "flat"]
            else:
                yield words.get("maj" if token in _MAJOR else token, token)

    def beat(self, onset: Fraction, metre: Metre) -> str:
        """A moment counted from 1 in the lower number of the time: "beat 2", "beat 2 and 1/2"."""
        whole, part = divmod(onset * metre.unit + 1, 1)
        if part:
            return fill(self.phrases.beat_between, whole=str(whole), part=str(part))
        return fill(self.phrases.beat, str(whole))

    def lasting(self, length: Fraction, measures: int, metre: Metre) -> str:
        """How long something lasts: "for 2 beats", "for 3 measures"."""
        phrases = self.phrases
        if measures:
            return phrases.for_measure if measures == 1 else fill(phrases.for_measures, str(measures))
        beats = length * metre.unit
        return phrases.for_beat if beats == 1 else fill(phrases.for_beats, str(beats))

    def key(self, key: Key) -> str:
        """A key: "A minor"."""
        name = self.book.key_name(key)
        return fill(self.phrases.key, name)

    def time(self, metre: Metre) -> str:
        """A time signature: "3/4", "common time"."""
        phrases = self.phrases
        usual = phrases.common_time if metre.unit == 4 else phrases.cut_time
        return fill(phrases.time, usual if metre.symbol else metre.text)

    def tempo(self, tempo: Tempo) -> str:
        """A tempo: its words, and how many notes a minute has."""
        said = [self.quoted(tempo.words)] if tempo.words else []
        if tempo.value is not None and tempo.per_minute is not None:
            many = self.value(tempo.value, (), 2).removeprefix(f"{self.number(2)} ")
            count = self.book.number(float(tempo.per_minute))
            said.append(fill(self.phrases.per_minute, count=count, value=many))
        return fill(self.phrases.tempo, ", ".join(said))

    def quoted(self, text: str) -> str:
        """The author's own words, so that they are known for such."""
        plain = text.replace(self.phrases.quote_close.strip(), "'")
        return f"{self.phrases.quote_open}{' '.join(plain.split())}{self.phrases.quote_close}"


def speaker_of(language: str) -> Speaker:
    """What tells things in `language`, a BCP 47 tag; English where there are no words for it."""
    return Speaker(load_spoken(language), load_wordbook(base_language(language)))


def capital(text: str) -> str:
    """`text` with a capital at its start."""
    return text[:1].upper() + text[1:]
