"""Checks of meaning: measures add up, strings are used once, lasting signs and repeats make sense, a lead sheet has a tune."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from engrave.problems import Location, ProblemLog
from engrave.reading.context import Context
from engrave.reading.drafts import DraftVoice, PartDraft
from engrave.score.seen import find_tune
from engrave.score.sign_list import SignName
from engrave.score.spans import find_rivals, resolve_spans
from engrave.score.structure import Measure, Score, SpanAt, View
from engrave.theory.metre import beat_text


def check_bar_lengths(
    context: Context, measure: Measure, voices: list[DraftVoice], shorter: Fraction | None
) -> Measure:
    """Compare every voice with the measure's length. `shorter` is a length that is right too.

    Returns the measure, with that shorter length when the music takes it.
    """
    expected = measure.length
    for number, voice in enumerate(voices):
        if voice.whole_rest or voice.length == expected:
            continue
        if shorter is not None and voice.length == shorter and number == 0:
            measure = replace(measure, length=shorter)
            expected = shorter
            continue
        _report(context, measure, voice, expected, number)
    if measure.pickup and measure.length >= measure.metre.length:
        context.error(
            measure.location,
            "this pickup is as long as a whole measure",
            "remove pickup: true, or shorten the measure",
        )
    return measure


def _report(context: Context, measure: Measure, voice: DraftVoice, expected: Fraction, number: int) -> None:
    which = "the lower voice" if number else "this measure"
    found = f"found {_amount(voice.length)}, expected {_amount(expected)}"
    if voice.length > expected:
        first = next(event for event in voice.events if event.onset + event.length > expected)
        context.error(
            first.location, f"{which} is too long by {_amount(voice.length - expected)}", found, first.onset
        )
    else:
        location: Location = voice.events[-1].location if voice.events else voice.location
        hint = found if not measure.pickup else f"{found}; all parts of a pickup are equally long"
        context.error(
            location, f"{which} is too short by {_amount(expected - voice.length)}", hint, voice.length
        )


def _amount(length: Fraction) -> str:
    """A length in fractions of a whole note: "3/4"; whole notes as "1/1"."""
    return f"{length.numerator}/{length.denominator}"


def check_strings(context: Context, voices: list[DraftVoice]) -> None:
    """Report a string that starts two different notes at one moment, and one that is struck while it is still held."""
    if not context.instrument.tuning:
        return
    for voice in voices:
        for event in [e for main in voice.events for e in main.in_order()]:
            strings = [note.string for note in event.notes]
            if len(set(strings)) < len(strings):
                twice = next(string for string in strings if strings.count(string) > 1)
                context.error(
                    event.location,
                    f"string {twice} is used twice at once",
                    "one string sounds one note",
                    event.onset,
                )
    if len(voices) == 2:
        _check_two_voices(context, voices[0], voices[1])


def check_spans(context: Context, measures: Sequence[Measure], starting: Sequence[Sequence[SpanAt]]) -> None:
    """Report signs that start while another of their kind still holds. `context` is left at some measure."""
    spans = resolve_spans([measure.length for measure in measures], starting)
    for before, after in find_rivals(spans):
        measure = measures[before.first]
        context.measure, context.metre = measure.number, measure.metre
        since = f"it starts in measure {measure.number}, beat {beat_text(before.onset, measure.metre)}"
        measure = measures[after.first]
        context.measure, context.metre = measure.number, measure.metre
        what = f"{after.sign.name} starts while {before.sign.name} still holds"
        context.error(after.sign.location, what, f"{since}; shorten it or remove one of them", after.onset)


_MEASURED = {SignName.TREMOLO_EIGHTHS: (1, "eighths"), SignName.TREMOLO_SIXTEENTHS: (2, "sixteenths")}


def check_tremolos(context: Context, voices: Sequence[DraftVoice]) -> None:
    """Report notes that are too short to be repeated as their tremolo says."""
    for voice in voices:
        for event in voice.events:
            names = {technique.sign for note in event.notes for technique in note.techniques}
            names.update(technique.sign for technique in event.techniques)
            for name in names & _MEASURED.keys():
                flags, word = _MEASURED[name]
                if event.value.flags >= flags:
                    what = f"a note of {event.value.name} is too short to be repeated in {word}"
                    context.error(
                        event.location, what, "use a shorter value for the tremolo, or remove it", event.onset
                    )


def check_string_numbers(context: Context, voices: Sequence[DraftVoice]) -> None:
    """Report numbers of strings that are asked for in a part that has none."""
    if context.instrument.strings:
        return
    for voice in voices:
        for event in (each for main in voice.events for each in main.in_order()):
            signs = {technique.sign for note in event.notes for technique in note.techniques}
            if SignName.STRING_NUMBER in signs | {technique.sign for technique in event.techniques}:
                what = f"a string-number names a string, and the {context.instrument.name} has none"
                context.error(event.location, what, "remove the mark", event.onset)


def _check_two_voices(context: Context, upper: DraftVoice, lower: DraftVoice) -> None:
    sounding = [
        (event.onset, event.onset + event.length, note.string, note.fret, event.location)
        for event in lower.events
        for note in event.notes
        if not note.chosen
    ]
    if not sounding:
        return
    for event in upper.events:
        for note in event.notes:
            for start, stop, string, fret, _ in sounding:
                if string != note.string or note.chosen:
                    continue
                if start == event.onset and fret != note.fret:
                    context.error(
                        event.location,
                        f"string {string} is used twice at once",
                        f"the lower voice has fret {fret} on it",
                        event.onset,
                    )
                elif start < event.onset < stop and not note.tie_from:
                    context.warning(
                        event.location,
                        f"string {string} is struck while the lower voice still holds it",
                        "shorten the lower note, or change strings",
                        event.onset,
                    )


def check_view(score: Score, view: View | None, location: Location, log: ProblemLog) -> None:
    """Report at `location` that `score` cannot be shown as `view` wants (None: as it wants itself): a lead sheet needs a tune.

    One without chord names is doubtful.
    """
    if (view or score.view) is not View.LEAD_SHEET:
        return
    if find_tune(score) is None:
        log.error(
            location,
            "a lead sheet needs a tune, and no part has one",
            hint="write the melody as notes (slashes and rests are none), or choose another view",
        )
    elif not any(content.chords for part in score.parts for content in part.measures):
        log.warning(location, "this lead sheet has no chord names", hint="write chord: G over the melody")


def count_measure_repeats(context: Context, measures: Sequence[Measure], drafts: Sequence[PartDraft]) -> None:
    """Set which measure of its group each repeating measure is; report groups that are not whole."""
    run = 0
    for index, draft in enumerate(drafts):
        if not draft.repeats:
            run = 0
            continue
        if index and drafts[index - 1].repeats not in (0, draft.repeats):
            run = 0
        draft.repeat_index = run % draft.repeats
        run += 1
        context.measure = measures[index].number
        if run == 1 and index < draft.repeats:
            found = "measure" if draft.repeats == 1 else "measures"
            context.error(draft.location, f"there are not {draft.repeats} {found} before this to repeat")
        following = drafts[index + 1].repeats if index + 1 < len(drafts) else 0
        if following != draft.repeats and draft.repeat_index + 1 < draft.repeats:
            what = f"only {draft.repeat_index + 1} of {draft.repeats} measures are repeated here"
            context.error(
                draft.location, what, f"write measure-repeat: {draft.repeats} in {draft.repeats} measures"
            )
