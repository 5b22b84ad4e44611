"""What `check` finds is what `make` would refuse, in the same words, for every kind of document."""

import re
import struct
import zlib

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.problems import Severity
from tests import made

SONG = "score: 1\ntitle: Quay\nmeasures:\n  - notes: [1/4: [{3: 0}, {3: 2}, {2: 0}, {2: 1}]]\n"


def png(width=4, height=2):
    """A white picture (W3C PNG specification, 5.3)."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    rows = b"".join(b"\0" + b"\xff" * 3 * width for _ in range(height))
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(rows))
        + chunk(b"IEND", b"")
    )


FILES = {
    "song.yaml": SONG.encode(),
    "sung.yaml": SONG.encode() + b"    lyrics: low the tide runs\n",
    "short.yaml": SONG.replace("1/4: [", "1/8: [").encode(),
    "broken.yaml": b"score: 1\nmeasures: [\n",
    "foreign.yaml": SONG.replace("Quay", "漢").encode(),
    "oddstyle.yaml": SONG.encode() + b"house-style: {staf: {}}\n",
    "slashes.yaml": b"score: 1\nmeasures:\n  - notes: [1/1: slash]\n",
    "tune.txt": b"e|-0-1-3-|\nB|-------|\nG|-------|\nD|-------|\nA|-------|\nE|-------|\n",
    "hand.png": png(),
    "cut.png": png()[:44],
    "none.png": b"just words",
}


def results(folder, text):
    """Errors and warnings of a check and of a run of make, and whether make wrote anything."""
    for name, data in FILES.items():
        (folder / name).write_bytes(data)
    path = folder / "document.yaml"
    path.write_text(text, "utf-8")
    target = folder / "result.pdf"
    target.unlink(missing_ok=True)
    found = [made.check(str(path), jobs=1), made.make(str(path), output=str(target), jobs=1)]
    errors, warnings = (
        [[str(p) for p in outcome.problems if p.severity is severity] for outcome in found]
        for severity in (Severity.ERROR, Severity.WARNING)
    )
    return errors, warnings, target.exists()


def handout(content):
    return f"handout: 1\ncontent:\n{content}"


def songbook(songs, head=""):
    return f"songbook: 1\n{head}songs:\n{songs}"


WRONG = {
    "score: a measure too short": SONG.replace("1/4: [", "1/8: ["),
    "score: a bracket": SONG.replace("}]]", "}]"),
    "score: a key": SONG.replace("title", "titel"),
    "score: a character in the title": SONG.replace("Quay", "漢"),
    "score: a character in a part's name": SONG.replace("title", "instrument: {name: 漢}\ntitle"),
    "score: a character in a label": SONG + "    label: 漢\n",
    "score: a character in lyrics": SONG + "    lyrics: 漢 la la la\n",
    "score: a style that is not there": SONG + "style: nosuch\n",
    "score: a style with a slip": SONG + "house-style: {staf: {}}\n",
    "score: lines too thin": SONG + "house-style: {staff: {line: 0.001}}\n",
    "score: margins without a page": SONG + "house-style: {paper: {margin_inner: 150, margin_outer: 150}}\n",
    "score: a road that leads nowhere": SONG + "    go-back: D.S.\n",
    "score: a lead sheet without a tune": "score: 1\nview: lead-sheet\nmeasures:\n  - notes: [1/1: slash]\n",
    "score: a sheet that cannot be": SONG + "size: 10x10\n",
    "score: a sheet smaller than its margins": SONG + "size: 62x62\n",
    "score: a language without a tag": SONG + "language: plain English\n",
    "score: an anchor that is not there": SONG + "  - *verse\n",
    "handout: no such music": handout("  - music: sung.yml\n"),
    "handout: broken music": handout("  - music: broken.yaml\n    name: one\n  - text: '[](#one)'\n"),
    "handout: music that is a handout": handout("  - music: document.yaml\n"),
    "handout: music that is a typed tab": handout("  - music: tune.txt\n"),
    "handout: wrong music in place": handout("  - music: {measures: [{notes: [1/8: {1: 0}]}]}\n"),
    "handout: a character in its music": handout("  - music: foreign.yaml\n"),
    "handout: a character in its words": handout("  - text: 漢\n"),
    "handout: a character alone in its title": "title: 漢\n" + handout("  - text: a\n"),
    "handout: a character in a caption": handout("  - music: song.yaml\n    caption: 漢\n"),
    "handout: a character in a tip": handout("  - tip: 漢\n"),
    "handout: no such picture": handout("  - picture: hnad.png\n    alt: A hand\n"),
    "handout: half a picture": handout("  - picture: cut.png\n    alt: A hand\n"),
    "handout: no picture at all": handout("  - picture: none.png\n    alt: A hand\n"),
    "handout: a picture without words": handout("  - picture: hand.png\n"),
    "handout: a measure that is not there": handout("  - music: song.yaml\n    measures: 9\n"),
    "handout: a link to nothing": handout("  - text: '[](#gone)'\n"),
    "handout: an item that holds nothing": handout("  - {}\n  - text: '[](#gone)'\n"),
    "handout: no shape": handout("  - shapes: {}\n"),
    "handout: a shape of five strings": handout("  - shapes: {G: 3 2 0 0 3}\n"),
    "songbook: no such song": songbook("  - sonk.yaml\n  - short.yaml\n"),
    "songbook: broken songs": songbook("  - broken.yaml\n  - short.yaml\n  - song.yaml\n"),
    "songbook: a chord sheet without words": songbook("  - {file: song.yaml, as: chord-sheet}\n"),
    "songbook: a lead sheet without a tune": songbook("  - {file: slashes.yaml, view: lead-sheet}\n"),
    "songbook: a character in a song": songbook("  - foreign.yaml\n"),
    "songbook: a character in a title of its own": songbook("  - {file: song.yaml, title: 漢}\n"),
    "songbook: a character on the cover": songbook("  - song.yaml\n", "title: 漢\n"),
    "songbook: a character in the imprint": songbook("  - song.yaml\n", "imprint: 漢\n"),
    "songbook: a character of a section": songbook("  - section: 漢\n  - song.yaml\n"),
    "songbook: a song with a wrong style": songbook("  - oddstyle.yaml\n"),
    "songbook: a song that the book styles wrongly": songbook(
        "  - {file: song.yaml, house-style: {staf: {}}}\n"
    ),
    "songbook: a song without a file": songbook("  - {title: A}\n  - short.yaml\n"),
    "songbook: no song": songbook("  - section: A\n"),
    "songbook: a song with a key that is not known": songbook("  - {fiel: song.yaml}\n  - short.yaml\n"),
    "paper: too many systems": "paper: 1\nsystems: 60\nline-distance: 8\n",
    "paper: a sheet that cannot be": "paper: 1\nsize: 10x10\n",
    "paper: nothing on it": "paper: 1\nstrings: 0\nstaff: false\n",
    "paper: a character at the foot": "paper: 1\nfooter: 漢\n",
    "paper: a style that is not there": "paper: 1\nstyle: nosuch.yaml\n",
    "paper: holes without room": "paper: 1\nsize: A5\norientation: landscape\nholes: four\n",
    "a document of no kind": "title: x\n",
    "an empty file": "",
}


@pytest.mark.parametrize("text", WRONG.values(), ids=WRONG.keys())
def test_what_make_refuses_check_finds_in_the_same_words(tmp_path, text):
    (checked, made), _, written = results(tmp_path, text)
    assert checked == made
    assert checked
    assert not written


TWO_MISTAKES = {
    "songbook: no such song",
    "songbook: broken songs",
    "songbook: a song without a file",
    "songbook: a song with a key that is not known",
}
"""A second song is too short there: one mistake does not hide the other."""


@pytest.mark.parametrize("name", WRONG)
def test_each_mistake_has_one_message_with_its_line(tmp_path, name):
    (checked, _), _, _ = results(tmp_path, WRONG[name])
    assert len(checked) == (2 if name in TWO_MISTAKES else 1), checked
    for message in checked:
        assert "tune.txt: this is typed tab" in message or re.match(r"\S+:\d+:\d+: ", message), message


RIGHT = {
    "score": SONG,
    "handout": handout(
        "  - text: '[](#one)'\n  - music: sung.yaml\n    name: one\n  - picture: hand.png\n    alt: A hand\n"
    ),
    "songbook": songbook(
        "  - section: A\n  - {file: sung.yaml, as: chord-sheet}\n", "title: B\nindexes: [title, first-line]\n"
    ),
    "paper": "paper: 1\nfooter: x\n",
}


@pytest.mark.parametrize("text", RIGHT.values(), ids=RIGHT.keys())
def test_what_check_lets_pass_make_draws(tmp_path, text):
    errors, warnings, written = results(tmp_path, text)
    assert errors == [[], []]
    assert warnings == [[], []]
    assert written


def test_an_index_without_an_entry_is_left_out_with_a_warning(tmp_path):
    text = songbook("  - song.yaml\n", "indexes: [title, writer, first-line, sign]\n")
    errors, (checked, made), written = results(tmp_path, text)
    assert errors == [[], []]
    assert written
    assert checked == made
    assert [re.search(r':(2:\d+): warning: the index "([a-z-]+)"', warning).groups() for warning in made] == [
        ("2:18", "writer"),
        ("2:26", "first-line"),
        ("2:38", "sign"),
    ]


def test_page_turns_are_told_by_check_too(tmp_path):
    long = SONG + SONG.split("measures:\n")[1] * 160
    (tmp_path / "long.yaml").write_text(long, "utf-8")
    _, (checked, made), _ = results(tmp_path, songbook("  - {file: long.yaml, start: right}\n"))
    assert checked == made
    assert "must be turned while playing" in checked[0]


WORDS = st.sampled_from(
    [
        None,
        True,
        -1,
        0,
        3,
        99,
        1.5,
        "",
        "x",
        "漢",
        "broken.yaml",
        "cut.png",
        "[](#gone)",
        "20x20",
        [],
        {},
        ["x"],
        {"x": 1},
    ]
)


@st.composite
def damaged(draw):
    """A right document with one value changed."""
    tree = yaml.safe_load(draw(st.sampled_from(list(RIGHT.values()))))
    node = tree
    while True:
        keys = list(node) if isinstance(node, dict) else list(range(len(node)))
        key = draw(st.sampled_from(keys))
        if isinstance(node[key], dict | list) and node[key] and draw(st.integers(0, 3)):
            node = node[key]
            continue
        node[key] = draw(WORDS)
        return yaml.safe_dump(tree, allow_unicode=True, sort_keys=False)


@settings(max_examples=60)
@given(damaged())
def test_they_agree_on_any_document(tmp_path_factory, text):
    (checked, made), _, written = results(tmp_path_factory.mktemp("any"), text)
    assert checked == made
    assert written is not bool(made)
