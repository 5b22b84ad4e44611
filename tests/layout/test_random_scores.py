"""Random legal music in every view: nothing lost, nothing off the page, no note on top of another or of a word."""

from collections import Counter

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.document import place_score
from engrave.layout.systems.stacked_signs import DRAWN_APART
from engrave.marks.bounds import measure_page_marks
from engrave.marks.role import Role
from engrave.score.seen import seen_in
from engrave.score.sign_list import DYNAMICS, MARKS, PARTS_OF_SLURS, SignName
from engrave.score.structure import View
from engrave.style.load import load_style
from tests.reading.helpers import read
from tests.test_samples import SOLID, WORDS, _interlocked, overlaps

STYLE = load_style("")[0]
FACES = InstalledFaces()
CELLS = {
    1: ["1/16"],
    2: ["1/8"],
    3: ["1/8."],
    4: ["1/4", "1/16 1/8."],
    6: ["1/4."],
    7: ["1/4.."],
    8: ["1/2", "3 in 2 of 1/4", "5 in 4 of 1/8"],
    12: ["1/2."],
    16: ["1/1"],
}
SHOWN = [
    name
    for name in MARKS
    if name not in (*DRAWN_APART, *PARTS_OF_SLURS, "ghost", "dead", "natural-harmonic")
    and STYLE.signs[name].stands_outside
]
UNSURE = (
    "natural-harmonic",
    "tremolo-eighths",
    "tremolo-sixteenths",
    SignName.SLUR,
    *PARTS_OF_SLURS,
)  # right for some frets, values and pairs only
HOW = st.one_of(
    st.sampled_from(["", "", "", "", " ghost", " dead"]),
    st.sampled_from([m for m in MARKS if m not in UNSURE]).map(" {}".format),
)
LONGER = st.sampled_from(
    [
        "bend: full",
        "bend: pre full release",
        "bend: 1/2 then full",
        "vibrato-bar: dip 1/2",
        "vibrato-bar: scoop",
        "tapped-harmonic: 28",
        "finger: 3",
    ]
)
LASTING = {
    "palm-mute for 1/2": 1,
    "let-ring for 2 measures": 2,
    "position 5 for 1/4": 1,
    "barre 7 for 1/1": 2,
    "crescendo for 1/2": 1,
    "diminuendo for 3 measures": 3,
}
SIGNS = (
    Role.ARTICULATION,
    Role.PLAYING_SIGN,
    Role.FERMATA,
    Role.DYNAMIC,
    Role.SPAN_TEXT,
    Role.COUNTING,
    Role.GRID_DOT,
    Role.GRID_FINGER,
    Role.VIBRATO_BAR,
    Role.FINGER,
    Role.TREMOLO,
    Role.VIBRATO,
    Role.GRID_MARK,
)
KEYS = ["C major", "Eb major", "B major", "F# minor", "Ab major"]
WORDS_SUNG = ["strengths", "a", "lan-tern", "through", "O", "har-bour-"]


@st.composite
def chords(draw, low, high):
    strings = draw(st.lists(st.integers(low, high), min_size=1, max_size=3, unique=True))
    base = draw(st.integers(0, 14))
    frets = [f"{s}: {draw(st.sampled_from([base, base + 1, base + 2]))}{draw(HOW)}" for s in strings]
    if base == 4 or base == 9:
        frets[0] = f"{strings[0]}: {{fret: {base}, {draw(LONGER).replace('28', str(base + 12))}}}"
    return "{" + ", ".join(frets) + "}"


@st.composite
def voices(draw, low, high, total=16):
    left, items = total, []
    while left:
        size = draw(st.sampled_from([s for s in CELLS if s <= left]))
        kind = draw(st.sampled_from(CELLS[size]))
        left -= size
        if (
            sum(item.startswith("grace") for item in items) < 2 and draw(st.integers(0, 9)) == 0
        ):  # more would not fit on a line
            items.append(f"grace 1/16: [{{{low}: 3}}, {{{low}: 5}}]")
        grace = bool(items) and items[-1].startswith("grace")
        events = (
            chords(low, high) if grace else st.one_of(chords(low, high), chords(low, high), st.just("rest"))
        )
        event = lambda events=events: draw(events)  # noqa: E731
        if " in " in kind:
            items.append(f"{kind}: [" + ", ".join(event() for _ in range(int(kind[0]))) + "]")
        elif " " in kind:
            items.extend(f"{value}: {event()}" for value in kind.split())
        else:
            items.append(f"{kind}: {event()}")
    return "[" + ", ".join(items) + "]"


def _one_sign(pair):
    """Two pieces of one sign or name: the waves of a vibrato, the letters of a chord name."""
    return pair[0].role is pair[1].role and pair[0].source == pair[1].source


def _kind(sign):
    """Of crescendo and diminuendo, only one can hold at a time."""
    return "hairpin" if "do " in sign else sign


@st.composite
def scores(draw):
    rows = []
    busy = {}
    for measure in range(draw(st.integers(1, 6))):
        two = draw(st.booleans())
        row = f"  - notes: {draw(voices(1, 3 if two else 6))}\n"
        if two:
            row += f"    lower: {draw(voices(4, 6))}\n"
        if draw(st.booleans()):
            row += "    chord: {1: F#m7b5, 3: Bbmaj7#11, 4: C}\n"
        if draw(st.integers(0, 4)) == 0:
            row += f"    key: {draw(st.sampled_from(KEYS))}\n"
        if draw(st.integers(0, 4)) == 0:
            row += "    label: Refrain\n    tempo: Somewhat faster, 1/4. = 120\n    text: ring on\n"
        if draw(st.booleans()):
            free = [sign for sign in LASTING if busy.get(_kind(sign), 0) <= measure]
            chosen = draw(st.lists(st.sampled_from(free), max_size=3, unique_by=_kind)) if free else []
            busy |= {_kind(sign): measure + LASTING[sign] for sign in chosen}
            if chosen:
                row += f"    spans: {{1: [{', '.join(chosen[:2])}], 3: [{', '.join(chosen[2:])}]}}\n"
        if draw(st.booleans()):
            row += f"    dynamics: {{1: {draw(st.sampled_from(DYNAMICS))}, 4: {draw(st.sampled_from(DYNAMICS))}}}\n"
        if draw(st.integers(0, 3)) == 0:
            row += "    repeat: start and end\n"
        rows.append(row)
    head = f"score: 1\nkey: {draw(st.sampled_from(KEYS))}\ncounting: {draw(st.sampled_from(['true', 'false']))}\n"
    if draw(st.booleans()):
        head += "shapes: {C: {frets: x 3 2 0 1 0, fingers: 0 3 2 0 1 0}, Bbmaj7#11: x 1 0 2 3 0}\n"
    return head + "measures:\n" + "".join(rows)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(scores(), st.sampled_from(list(View)))
def test_pages_of_random_music(text, view):
    score = read(text)
    document = place_score(score, STYLE, view)
    counted = Counter()
    for page in document.pages:
        marks = [(mark, box) for _, mark, box in measure_page_marks(page, FACES)]
        for mark, box in marks:
            counted[mark.role] += 1
            assert box.left >= 0 and box.right <= page.width, mark  # noqa: PT018
            assert box.bottom >= 0 and box.top <= page.height, mark  # noqa: PT018
        solid = [(m, b) for m, b in marks if m.role in SOLID]
        tolerance = 0.16 * STYLE.staff_space
        assert not [p for p in overlaps(solid, solid, tolerance) if not _interlocked(p)]
        words = [(m, b) for m, b in marks if m.role in WORDS]
        assert not overlaps(words, solid, tolerance)
        signs = [(m, b) for m, b in marks if m.role in SIGNS]
        assert not overlaps(signs, solid + words, tolerance)
        assert not [pair for pair in overlaps(signs, signs, tolerance) if not _one_sign(pair)]
        assert not [pair for pair in overlaps(words, words, tolerance) if not _one_sign(pair)]
    _check_nothing_lost(seen_in(score, view), view, counted)


def _check_nothing_lost(score, view, counted):
    mains = [e for part in score.parts for m in part.measures for v in m.voices for e in v.events]
    graces = [grace for event in mains if event.before for grace in event.before.events]
    events = mains + graces
    notes = [note for event in events for note in event.notes]
    if view in (View.STAFF, View.STAFF_AND_TAB, View.LEAD_SHEET):
        distinct = sum(
            len({n.pitch for n in e.notes}) + sum(1 for n in e.notes if n.sounding) for e in events
        )
        steps = sum(len(n.bend) for n in notes)  # each has a small head at most
        assert distinct * 0.8 <= counted[Role.NOTEHEAD] <= distinct + steps
        assert counted[Role.STEM] == sum(1 for e in mains if e.notes and e.value.denominator > 1) + len(
            graces
        )
    if view not in (View.STAFF, View.LEAD_SHEET):
        assert counted[Role.FRET] == sum(1 for n in notes if not n.tie_from)
    contents = [m for part in score.parts for m in part.measures]
    assert counted[Role.DYNAMIC] == sum(len(m.dynamics) for m in contents)
    assert counted[Role.SPAN_TEXT] >= sum(
        1 for m in contents for span in m.spans if span.name not in ("crescendo", "diminuendo")
    )
    stacked = [
        {
            (m.sign, note.string if m.sign == "string-number" else 0)
            for note in e.notes
            for m in (*note.techniques, *e.techniques)
        }
        for e in events
    ]
    harmonics = sum(1 for e in events if any(n.has(SignName.TAPPED_HARMONIC) for n in e.notes))
    assert counted[Role.ARTICULATION] + counted[Role.PLAYING_SIGN] + counted[Role.FERMATA] == harmonics + sum(
        1 for names in stacked for name, _ in names if name in SHOWN
    )

    def carrying(*names):
        return [e for e in events if e.signs.intersection(names)]

    assert counted[Role.TREMOLO] == len(carrying("tremolo", "tremolo-eighths", "tremolo-sixteenths"))
    assert counted[Role.ARPEGGIO] >= 2 * len(
        carrying("arpeggiate", "arpeggiate-up", "arpeggiate-down", "non-arpeggiate")
    )
    assert counted[Role.VIBRATO] >= 2 * len(carrying("vibrato", "wide-vibrato"))
    assert counted[Role.VIBRATO_BAR] >= 2 * len(carrying("vibrato-bar"))
    bends = sum(1 for n in notes if n.has(SignName.BEND))
    if view in (View.STAFF, View.LEAD_SHEET):
        assert counted[Role.BEND_SLUR] >= bends
    else:
        assert counted[Role.BEND_ARROW] >= 2 * bends
    assert counted[Role.FINGER] == sum(1 for n in notes if n.finger)
    assert (
        counted[Role.GRACE_SLASH] >= len(graces) / 2
        if view is not View.TAB
        else counted[Role.GRACE_SLASH] == 0
    )
    assert counted[Role.LABEL] == sum(1 for m in score.measures if m.label)


@settings(max_examples=30)
@given(st.lists(st.sampled_from(WORDS_SUNG), min_size=4, max_size=24))
def test_syllables_never_touch(words):
    text = " ".join(words)
    count = sum(word.rstrip("-").count("-") + 1 for word in words)
    measures = -(-count // 4)
    rows, row = [], []
    for word in words:
        pieces = [piece for piece in word.split("-") if piece]
        for number, piece in enumerate(pieces):
            row.append(piece + ("-" if number < len(pieces) - 1 or word.endswith("-") else ""))
    for measure in range(measures):
        rows.append(
            f"  - notes: [1/4: [{{3: 0}}, {{3: 2}}, {{2: 0}}, {{2: 1}}]]\n    lyrics: {' '.join(row[measure * 4 : measure * 4 + 4])}\n"
        )
    score = read("score: 1\nmeasures:\n" + "".join(rows).replace("lyrics: \n", "lyrics: a\n"))
    assert text
    for page in place_score(score, STYLE).pages:
        sung = [(m, b) for _, m, b in measure_page_marks(page, FACES) if m.role is Role.LYRIC]
        assert not overlaps(sung, sung, 0.0)
