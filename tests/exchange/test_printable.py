"""What is read from elsewhere can be drawn at once: characters that no face has are replaced or left out, with a remark."""

import pytest

from engrave.cli import main
from engrave.exchange.printable import make_printable
from tests.made import make

TITLE = "Air \U0001f3b8 \u2460 \uff21\uff22 \ue000\u0007 caf\u0065\u0301"


def cleaned(**keys):
    return make_printable({"score": 1, **keys, "measures": [{"notes": [{"1/1": "1:0"}]}]})


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("plain", "plain"),
        ("Fu\u0308r Elise", "F\u00fcr Elise"),
        ("\uff11\uff12 \uff21", "12 A"),
        ("\u2460\u2461", "12"),
        ("a\U0001f3b8b", "ab"),
        ("a \U0001f3b8", "a"),
        ("a\nb\tc\u3000d", "a b c d"),
        ("a\x07\x1b\u200b\ue000b", "ab"),
        ("in B\u266d", "in B\u266d"),
        ("\u041f\u0435\u0441\u043d\u044f", "\u041f\u0435\u0441\u043d\u044f"),
    ],
)
def test_words_keep_what_can_be_printed(typed, printed):
    assert cleaned(subtitle=typed)[0]["subtitle"] == printed


def test_what_is_left_empty_is_not_there():
    tree, remarks = cleaned(title="\U0001f3b8", subtitle="a", parts=[{"id": "a", "name": "\U0001f3b8"}], credits={"music": "\u6f22"})  # fmt: skip
    assert set(tree) == {"score", "subtitle", "parts", "measures"}
    assert tree["parts"] == [{"id": "a"}]
    assert len(remarks) == 1


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("a \U0001f3b8 b", "a * b"),
        ("a-\U0001f3b8-b", "a-*-b"),
        ("\uff41-\uff42 c", "a-b c"),
        ("a \uff0d b", "a \\- b"),
        ("you\u203fare", "you\u203fare"),
        ("a\\-b ...", "a\\-b ..."),
    ],
)
def test_syllables_stay_under_their_notes(typed, printed):
    assert cleaned(lyrics=typed)[0]["lyrics"] == printed
    assert cleaned(lyrics={"1": typed})[0]["lyrics"] == {"1": printed}
    assert cleaned(lyrics=[typed])[0]["lyrics"] == [printed]


def test_each_kind_is_told_once():
    _, remarks = cleaned(title="\U0001f3b8\u2460\u2460\U0001f3b8", subtitle="\U0001f3b8\x1b")
    assert remarks == [
        'replaced, as no face has them: "\u2460" (U+2460, circled digit one) by "1"',
        'left out, as no face has them: "\U0001f3b8" (U+1F3B8, guitar), U+001B',
    ]


def test_a_remark_has_an_end():
    _, remarks = cleaned(title="".join(chr(0x4E00 + number) for number in range(50)))
    assert remarks[0].endswith(" and 44 more")


def xml(title, words, lyric):
    note = f"<note><pitch><step>E</step><octave>4</octave></pitch><duration>4</duration><type>whole</type><lyric><text>{lyric}</text></lyric></note>"
    return (
        f'<score-partwise version="4.0"><work><work-title>{title}</work-title></work><part-list><score-part id="P1"><part-name>{words}</part-name>'
        f'</score-part></part-list><part id="P1"><measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats>'
        f"<beat-type>4</beat-type></time></attributes><direction><direction-type><words>{words}</words></direction-type></direction>{note}</measure></part></score-partwise>"
    ).encode()


def midi(name):
    track = (
        b"\x00\xff\x03" + bytes([len(name)]) + name + b"\x00\x90\x40\x40\x83\x00\x80\x40\x00\x00\xff\x2f\x00"
    )
    return b"MThd\0\0\0\x06\0\0\0\x01\0\x60MTrk" + len(track).to_bytes(4) + track


TAB = "{title}\n\nWords \u2460 \U0001f3b8\n\ne|-1--3--|\nB|-------|\nG|-------|\nD|-------|\nA|-------|\nE|-------|\n"
FILES = {
    "a.musicxml": xml("Air \U0001f3b8 \u2460", "\uff21 \ue000 \u0301x", "la\U0001f3b8"),
    "b.musicxml": xml("\u202eturned\u2066", "\u6f22\u5b57", "\U0001f3b8"),
    "c.mid": midi("\U0001f3b8 G\u2460".encode()),
    "d.mid": midi(b"a\x1b[2J\x07\x00b"),
    "e.txt": TAB.format(title=TITLE).encode(),
    "f.txt": TAB.format(title="\x1b]0;x\x07\u202e").encode(),
}


@pytest.mark.parametrize("name", FILES)
def test_what_read_writes_make_takes(tmp_path, monkeypatch, capsys, name):
    monkeypatch.chdir(tmp_path)
    (tmp_path / name).write_bytes(FILES[name])
    assert main(["read", name, "-o", "score.yaml"]) == 0
    told = capsys.readouterr()
    assert all(line.isprintable() for line in (told.out + told.err).splitlines())
    outcome = make(tmp_path / "score.yaml", output=str(tmp_path / "a.pdf"))
    assert [str(problem) for problem in outcome.problems] == []


def test_what_a_person_types_is_refused_at_its_place(tmp_path):
    path = tmp_path / "a.yaml"
    path.write_text("score: 1\nmeasures:\n  - label: A\U0001f3b8\n    notes: [1/1: 1:0]\n", "utf-8")
    (problem,) = make(path, output=str(tmp_path / "a.pdf")).problems
    assert problem.location.line == 3
    assert "U+1F3B8" in problem.what
