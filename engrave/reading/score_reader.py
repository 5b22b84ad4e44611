"""The whole score from its tree: measures and parts read side by side, then spelled and frozen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from engrave.problems import Location, ProblemLog
from engrave.reading.check import (
    check_bar_lengths,
    check_spans,
    check_string_numbers,
    check_strings,
    check_tremolos,
    count_measure_repeats,
)
from engrave.reading.check_hand import check_left_hand
from engrave.reading.check_slurs import check_slurs
from engrave.reading.context import Context, Tally
from engrave.reading.drafts import DraftVoice, PartDraft
from engrave.reading.finish import finish_part
from engrave.reading.header import PartHeader, read_credits, read_paper_size, read_parts
from engrave.reading.lyrics import LyricReader
from engrave.reading.measures import MeasureReader, expected_lengths
from engrave.reading.settle import settle
from engrave.reading.shapes import HeldShapes, read_shapes, wants_shapes
from engrave.reading.strums import Strummer, Strums, read_strums, strum_measure
from engrave.reading.unstrung import unstring
from engrave.reading.voices import VoiceReader
from engrave.reading.words import read_chords, read_clefs, read_dynamics, read_spans, read_texts
from engrave.score.neck_over import NeckOver
from engrave.score.structure import (
    ChordAt,
    ExplainSigns,
    Grids,
    Measure,
    NamedShape,
    Part,
    Score,
    View,
)
from engrave.score.strums import StrumPattern, StrumRow
from engrave.source.tree import SourceMap, Value
from engrave.theory.chord_name import ChordName
from engrave.theory.repeats import check_structure

_PART_KEYS = (
    "notes",
    "lower",
    "tab",
    "chord",
    "strum",
    "lyrics",
    "text",
    "dynamics",
    "spans",
    "measure-repeat",
    "clef",
)


class _PartReader:
    """Reads what one part has in each measure."""

    def __init__(
        self,
        header: PartHeader,
        lines: list[str],
        log: ProblemLog,
        held: HeldShapes,
        tally: Tally,
        *,
        strums: Strums,
    ) -> None:
        self.context = Context(log, lines, header.name, header.instrument, shapes=held, tally=tally)
        self._strummer = Strummer(self.context, strums, header)
        self._upper = VoiceReader(self.context)
        self._lower = VoiceReader(self.context)
        self._lyrics = LyricReader(self.context)

    def read(self, content: SourceMap | None, measure: Measure) -> PartDraft:
        self.context.measure, self.context.metre = measure.number, measure.metre
        if content is None:
            self._upper.skip()
            self._lower.skip()
            silent = DraftVoice(measure.location, whole_rest=True)
            return PartDraft([silent], (), (), (), (), measure.location, strum=self._strummer.pattern)
        self._strummer.read(content)
        row = self._strummer.row_for(content, measure)
        voices = self._read_voices(content) if row is None else []
        length = max((voice.length for voice in voices), default=Fraction(0))
        offset = measure.metre.length - length if measure.pickup and length else Fraction(0)
        chords = read_chords(self.context, content.get("chord"), content.value_location("chord"), offset)
        if row is not None:
            voices = [self._strum(row, chords, content.value_location("chord"))]
        draft = PartDraft(
            voices=voices,
            chords=chords,
            texts=read_texts(self.context, content.get("text"), content.value_location("text"), offset),
            dynamics=read_dynamics(
                self.context, content.get("dynamics"), content.value_location("dynamics"), offset
            ),
            spans=read_spans(self.context, content.get("spans"), content.value_location("spans"), offset),
            location=content.location,
            repeats=content.get("measure-repeat", 0),
            clefs=read_clefs(self.context, content.get("clef"), content.value_location("clef"), offset),
            neck=self._read_neck(content),
            strum=self._strummer.pattern,
            is_strummed=row is not None,
        )
        self._check_silence(content, measure)
        self._lyrics.read(content.get("lyrics"), content.value_location("lyrics"), voices[0].events)
        return draft

    def _read_neck(self, content: SourceMap) -> NeckOver | None:
        """The neck diagram over the measure; what reads them is loaded for those who have one."""
        if "neck" not in content:
            return None
        from engrave.reading.necks import read_neck_over

        return read_neck_over(self.context, content)

    def _check_silence(self, content: SourceMap, measure: Measure) -> None:
        """A measure that stands for others has no music of its own."""
        for key, there in (
            ("multiple-rest", measure.rests > 1),
            ("measure-repeat", "measure-repeat" in content),
        ):
            for own in ("notes", "lower", "tab") if there else ():
                if own in content and content[own] != "rest":
                    what = f"a measure with {key} has no {own} of its own"
                    self.context.error(content.key_location(own), what, "remove one of them")

    def _strum(self, row: StrumRow, chords: Sequence[ChordAt], location: Location) -> DraftVoice:
        self._lower.skip()
        return strum_measure(self._upper, row, self.context.metre, chords, location)

    def _read_voices(self, content: SourceMap) -> list[DraftVoice]:
        if "tab" in content:
            if "notes" in content or "lower" in content:
                self.context.error(
                    content.key_location("tab"),
                    "a measure has either notes or a drawn tab",
                    "remove one of them",
                )
            if not self.context.instrument.tuning:
                self.context.error(
                    content.key_location("tab"),
                    "a voice has no strings for a drawn tab",
                    "write notes: with pitches",
                )
                return [DraftVoice(content.location, whole_rest=True)]
            from engrave.reading.drawn_tab import DrawnTabReader

            drawn = DrawnTabReader(self.context, self._upper, self._lower)
            read = drawn.read(str(content["tab"]), content.value_location("tab"))
            return read or [DraftVoice(content.location, whole_rest=True)]
        voices = []
        if "notes" in content:
            voices.append(self._upper.read(content["notes"], content.value_location("notes")))
        else:
            self._upper.skip()
            voices.append(DraftVoice(content.location, whole_rest=True))
        if "lower" in content:
            voices.append(self._lower.read(content["lower"], content.value_location("lower")))
        else:
            self._lower.skip()
        if len(voices) == 2 and voices[1].whole_rest and voices[0].events:
            voices.pop()
        return voices


def read_score(
    tree: Value, lines: list[str], log: ProblemLog, is_whole: bool = True, unstrung: bool = False
) -> Score | None:
    """The score of a tree whose form is right. Mistakes of meaning go to `log`; the score is None when there are any.

    `is_whole` is False where something was left out, so that slurs may lack an end. `unstrung`: parts that name no string
    are read without strings, for another instrument than theirs.
    """
    headers = read_parts(tree, log)
    shared = MeasureReader(tree, log)
    fretted = next((header.instrument for header in headers if header.instrument.tuning), None)
    if unstrung:
        headers = unstring(headers, tree)
    shapes = read_shapes(tree.get("shapes"), fretted, log) if fretted is not None else ()
    finds = wants_shapes(tree.get("shapes"), log) and tree.get("grids") != Grids.NONE.value
    held = [
        HeldShapes(shapes, (header.instrument if header.instrument.tuning else fretted) if finds else None)
        for header in headers
    ]
    tally = Tally()
    strums = read_strums(tree, log)
    readers = [
        _PartReader(header, lines, log, own, tally, strums=strums)
        for header, own in zip(headers, held, strict=True)
    ]
    measures: list[Measure] = []
    drafts: list[list[PartDraft]] = [[] for _ in headers]
    for entry in tree["measures"]:
        if log.is_full:
            return None
        measure = shared.read(entry)
        contents = _part_contents(entry, headers, measure, "parts" in tree, log)
        row = [reader.read(content, measure) for reader, content in zip(readers, contents, strict=True)]
        for column, draft in zip(drafts, row, strict=True):
            column.append(draft)
        measures.append(_with_length(measure, row))
    return _finish(
        tree,
        log,
        headers,
        readers,
        measures=measures,
        drafts=drafts,
        shapes=(*shapes, *_found(held)),
        strums=strums.own,
        is_whole=is_whole,
    )


def _found(held: list[HeldShapes]) -> list[NamedShape]:
    """The shapes that were found, each name once, in the order in which the music has them."""
    by_name: dict[ChordName, NamedShape] = {}
    for own in held:
        for named in own.found:
            by_name.setdefault(named.name, named)
    return sorted(by_name.values(), key=lambda named: named.location)


def _finish(
    tree: SourceMap,
    log: ProblemLog,
    headers: tuple[PartHeader, ...],
    readers: list[_PartReader],
    measures: list[Measure],
    drafts: list[list[PartDraft]],
    shapes: tuple[NamedShape, ...],
    strums: tuple[StrumPattern, ...],
    is_whole: bool,
) -> Score | None:
    shorter = expected_lengths(measures)
    for reader, column in zip(readers, drafts, strict=True):
        for index, (measure, draft) in enumerate(zip(measures, column, strict=True)):
            context = reader.context
            context.measure, context.metre = measure.number, measure.metre
            measures[index] = check_bar_lengths(context, measures[index], draft.voices, shorter[index])
            check_strings(context, draft.voices)
            check_tremolos(context, draft.voices)
            check_string_numbers(context, draft.voices)
        check_left_hand(reader.context, measures, column)
        if is_whole and not reader.context.unread:
            check_slurs(reader.context, measures, column)
        count_measure_repeats(reader.context, measures, column)
        check_spans(reader.context, measures, [draft.spans for draft in column])
    for index, what, hint in check_structure([measure.repeat for measure in measures]):
        log.error(measures[index].location, what, f"measure {measures[index].number}", hint)
    paper_size = read_paper_size(tree, log)
    if log.has_errors:
        return None
    parts = tuple(
        Part(
            header.id,
            header.name,
            header.instrument,
            finish_part(measures, column),
            header.view,
            header.is_named,
            brace=header.brace,
        )
        for header, column in zip(headers, drafts, strict=True)
    )
    score = Score(
        measures=tuple(measures),
        parts=parts,
        title=str(tree.get("title", "")),
        subtitle=str(tree.get("subtitle", "")),
        credits=read_credits(tree),
        copyright=str(tree.get("copyright", "")),
        language=str(tree.get("language", "")),
        view=View(tree.get("view", "staff+tab")),
        style=str(tree.get("style", "")),
        file=log.file,
        grids=Grids(tree.get("grids", "above")),
        left_handed=tree.get("left-handed", False),
        shapes=shapes,
        explain_signs=ExplainSigns(tree.get("explain-signs", "none")),
        house_style=tree.get("house-style"),
        paper_size=paper_size,
        strums=strums,
    )
    return settle(score, log) if readers[0].context.tally.placed else score


def _with_length(measure: Measure, row: list[PartDraft]) -> Measure:
    """The measure with its real length, where it is a pickup."""
    if not measure.pickup:
        return measure
    length = max((voice.length for draft in row for voice in draft.voices), default=Fraction(0))
    return replace(measure, length=length) if length else measure


def _part_contents(
    entry: SourceMap, headers: tuple[PartHeader, ...], measure: Measure, listed: bool, log: ProblemLog
) -> list[SourceMap | None]:
    """What each part has in this measure: its own mapping, or the measure itself when there is one part."""
    where = f"measure {measure.number}"
    own = [key for key in _PART_KEYS if key in entry]
    if not listed:
        if "parts" in entry:
            log.error(
                entry.key_location("parts"),
                "no parts are listed at the head of this score",
                where,
                "list them under parts:, or put the music in the measure itself",
            )
        return [entry]
    for key in own:
        if len(headers) > 1:
            log.error(
                entry.key_location(key),
                f'with several parts, "{key}" belongs to one of them',
                where,
                "put it under parts: and the part's id",
            )
    contents = entry.get("parts")
    if contents is None:
        return [entry if len(headers) == 1 else None for _ in headers]
    known = [header.id for header in headers]
    for name in contents:
        if name not in known:
            log.error(
                contents.key_location(name), f'there is no part "{name}"', where, log.suggest(name, known)
            )
    return [contents.get(header.id) for header in headers]
