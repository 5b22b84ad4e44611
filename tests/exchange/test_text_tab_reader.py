"""Plain-text tab becomes scores. The ways of typing tab: common practice, no source; the guesses: house rules."""

import pytest
import yaml

from engrave.exchange.text_tab.lines.table import read_own_table
from engrave.exchange.text_tab.reader import read_text_tab
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from engrave.score.techniques import technique_words
from engrave.source.parse import parse_yaml
from tests.exchange.text_tab_helpers import NAMES, tab


def result(text, table=None):
    """What is read from `text`, and its score, which must be without errors."""
    found = read_text_tab(text if isinstance(text, bytes) else text.encode(), table)
    log = ProblemLog("f")
    score = read_text_score(yaml.safe_dump(found.tree, sort_keys=False, allow_unicode=True), log)
    assert score is not None, ([str(p) for p in log.in_order()], found.tree)
    return found, score


def events(text, part=0, **more):
    """(length, [(string, fret)]) of every event of a part."""
    score = result(text, **more)[1]
    return [
        (str(event.length), [(note.string, note.fret) for note in event.notes])
        for measure in score.parts[part].measures
        for event in measure.voices[0].events
    ]


def marks(text, **more):
    """(fret, marks) of every note that is struck."""
    score = result(text, **more)[1]
    return [
        (
            note.fret,
            [":".join(technique_words(t).split(" ", 1)) for t in (*note.techniques, *event.techniques)],
        )
        for measure in score.parts[0].measures
        for event in measure.voices[0].events
        for note in event.notes
        if not note.tie_from
    ]


def remarks(text, kind=None):
    return [(n.line, n.what) for n in result(text)[0].notes if kind in (None, n.kind)]


def test_four_even_notes_are_quarters():
    assert events(tab({1: "|-0-2-3-5-|"})) == [("1/4", [(1, f)]) for f in (0, 2, 3, 5)]


def test_eight_even_notes_are_eighths_with_fingers_of_two_digits():
    text = tab({3: "|-10-12-10-12-10-12-10-12-|"})
    assert events(text) == [("1/8", [(3, f)]) for f in (10, 12) * 4]


def test_even_steps_in_a_measure_drawn_a_step_short_are_even():
    text = "Time: 4/4\n\n" + tab(
        {1: "|-------0-------|", 2: "|---1-------1---|", 3: "|-----2---2-----|", 5: "|-0-------------|"}
    )
    lengths = [length for length, _ in events(text)]
    assert lengths == ["1/8"] * 6 + ["1/4"]  # the last is held by a tie


def test_notes_between_the_counts_are_parts_of_the_step():
    text = "   1   &   2   &   3   &   4   &\n" + tab({1: "|-0---------------0-1-0---1-------|-0---2---|"})
    assert [length for length, _ in events(text)][:6] == ["1/2", "1/16", "1/16", "1/8", "1/4", "1/2"]
    assert [what for _, what in remarks(text)] == [
        "measure 2: rhythm guessed from the spacing of the columns"
    ]


def test_a_chord_name_between_two_notes_is_on_the_beat():
    text = "    Am\n" + tab({1: "|-0---2---3---2---|"})
    assert result(text)[0].tree["measures"][0]["chord"] == "Am"


def test_frets_under_the_second_digit_are_struck_together():
    text = tab({1: "|-10-----|", 2: "|--9-----|", 3: "|-8------|"})
    assert events(text)[0][1] == [(1, 10), (2, 9), (3, 8)]


def test_a_guessed_measure_says_so():
    found = result("Time: 4/4\n\n" + tab({1: "|-0-2-3-5-|-0---3---|"}))[0]
    assert [n.what for n in found.notes if n.kind == "guessed"] == [
        f"measure {n}: rhythm guessed from the spacing of the columns" for n in (1, 2)
    ]
    assert "tab" in found.tree["measures"][0]


@pytest.mark.parametrize("dash", ["-", "–", "—", "‑", "‐", "\u00ad", "−", "─"])
def test_all_dashes_are_dashes(dash):
    assert len(events(tab({1: "|-0-2-3-5-|"}).replace("-", dash))) == 4


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_encodings_and_line_ends(encoding):
    assert (
        len(events(("Für Élise\r\n\r\n" + tab({1: "|-0-2-|"}).replace("\n", "\r\n")).encode(encoding))) == 2
    )


def test_latin_1():
    found = result(("Müde\n\n" + tab({1: "|-0-2-|"}).replace("-", "\xad")).encode("latin-1"))[0]
    assert found.tree["title"] == "Müde"


def test_without_names_and_bar_lines():
    assert events("--0-2-3-5-\n" + "----------\n" * 5)[0] == ("1/4", [(1, 0)])


def test_a_long_stretch_without_bar_lines_is_cut_by_sixteen_columns():
    found = result("-" + "0-2-3-5-" * 8 + "\n" + ("-" * 65 + "\n") * 5)[0]
    assert len(found.tree["measures"]) == 4


@pytest.mark.parametrize(
    ("names", "preset", "tuning"),
    [
        ("e B G D A E", "guitar", None),
        ("E4 B3 G3 D3 A2 E2", "guitar", None),
        ("e b g d a e", "guitar", None),
        ("e B G D A D", "guitar", ["D2", "A2", "D3", "G3", "B3", "E4"]),
        ("d A G D A D", "guitar", ["D2", "A2", "D3", "G3", "A3", "D4"]),
        ("Eb Bb Gb Db Ab Eb", "guitar", ["Eb2", "Ab2", "Db3", "Gb3", "Bb3", "Eb4"]),
        ("G D A E", "bass", None),
        ("A E C G", "ukulele", None),
        ("E A D G", "mandolin", None),
        ("G D A E B", "bass-5", None),
        ("D B G D G", "banjo", None),
        ("E B G D A E B", "guitar-7", None),
        ("E B G D A E B F#", "guitar-8", None),
    ],
)
def test_names_of_strings_tell_the_instrument(names, preset, tuning):
    text = "\n".join(f"{name:3}|-0-2-|" for name in names.split())
    tree = result(text)[0].tree
    assert (tree["instrument"], tree.get("tuning")) == (preset, tuning)


def test_a_block_with_the_thickest_string_on_top_is_turned():
    assert events(tab({1: "|-3-5-|"}, names="EADGBe"))[0][1] == [(6, 3)]


def test_numbers_of_strings():
    assert events(tab({1: "|-3-5-|"}, names="123456"))[0][1] == [(1, 3)]


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ("|-5h7-|", [(5, []), (7, ["hammer-on"])]),
        ("|-7p5-|", [(7, []), (5, ["pull-off"])]),
        ("|-5/7-|", [(5, []), (7, ["slide"])]),
        ("|-5s7-|", [(5, []), (7, ["slide"])]),
        ("|-7\\5-|", [(7, []), (5, ["slide"])]),
        ("|-/7--|", [(7, ["slide-from-below"])]),
        ("|-\\7--|", [(7, ["slide-from-above"])]),
        ("|-7/--|", [(7, ["slide-away-up"])]),
        ("|-7\\--|", [(7, ["slide-away-down"])]),
        ("|-7b9-|", [(7, ["bend:full"])]),
        ("|-7b(8)-|", [(7, ["bend:1/2"])]),
        ("|-7b--|", [(7, ["bend:full"])]),
        ("|-7b9r7-|", [(7, ["bend:full release"])]),
        ("|-7b10r8-|", [(7, ["bend:1 1/2 release to 1/2"])]),
        ("|-9r7-|", [(7, ["bend:pre full release"])]),
        ("|-7~~~-|", [(7, ["vibrato"])]),
        ("|-7--~~|", [(7, ["vibrato"])]),
        ("|-7v--|", [(7, ["vibrato"])]),
        ("|-7b9~-|", [(7, ["vibrato", "bend:full"])]),
        ("|-x-X-|", [(0, ["dead"]), (0, ["dead"])]),
        ("|-(7)-|", [(7, ["ghost"])]),
        ("|-<12>-|", [(12, ["natural-harmonic:12"])]),
        ("|-5t12-|", [(5, []), (12, ["tap"])]),
        ("|-5*-7.-|", [(5, ["staccato"]), (7, ["staccato"])]),
    ],
)
def test_signs_between_the_digits(row, expected):
    assert [(f, sorted(m)) for f, m in marks(tab({2: row}))] == [(f, sorted(m)) for f, m in expected]


def test_a_hammer_on_over_a_bar_line():
    assert marks(tab({2: "|-5h|7-|"})) == [(5, []), (7, ["hammer-on"])]


def own_table(text):
    """A reader's own table, and what is wrong with it."""
    log = ProblemLog("table")
    return read_own_table(parse_yaml(text, log), log), [str(problem) for problem in log.in_order()]


def test_a_table_of_ones_own_changes_signs_and_words():
    table, wrong = own_table('signs: {"*": accent}\nheadings: {tonart: key}\n')
    assert wrong == []
    assert marks(tab({2: "|-5*---|"}), table=table) == [(5, ["accent"])]
    assert result("tonart: D major\n\n" + tab({2: "|-5----|"}), table)[0].tree["key"] == "D major"


def test_everything_wrong_in_a_table_is_told_at_once():
    assert own_table('signs: {"*": nonsense, "7": accent}\ninstruments: {uke: ukelele}\n')[1] == [
        'table:1:14: "nonsense" is not the meaning of a sign; known here are 62 words, among them hammer-on, '
        "pull-off, slide-up, bend and vibrato",
        'table:1:24: "7" is not a sign; use one character other than a digit, a dash or a barline',
        'table:2:20: "ukelele" is not known for instruments: uke; did you mean "ukulele"?',
    ]


def test_what_a_grid_cannot_say_is_written_as_notes():
    measures = result(tab({2: "|-5h7-|-7b9-|"}))[0].tree["measures"]
    assert ["tab" in m for m in measures] == [True, False]


def test_repeats_and_double_barlines():
    text = tab({1: "|:-0-2-:|-0-2-||-3-5-|"})
    measures = result(text)[0].tree["measures"]
    assert [m.get("repeat") for m in measures] == ["start and end", None, None]
    assert measures[1]["barline"] == "double"


def test_repeats_drawn_with_stars():
    plain, star = "||--0-2--||", "||*-0-2-*||"
    text = "\n".join(f"{name}{star if n in (2, 3) else plain}" for n, name in enumerate(NAMES))
    found = result(text)[0]
    assert found.tree["measures"][0]["repeat"] == "start and end"
    assert not [n for n in found.notes if n.kind == "slip" and "short" in n.what]


def test_times_of_a_repeat():
    text = tab({1: "|:-0-2-:|"}).replace(":|\n", ":| x3\n", 1)
    assert result(text)[0].tree["measures"][0]["times"] == 3


def test_short_lines_are_filled_and_remarked():
    text = tab({1: "|-0-2-3-5-|"}).replace("B|---------|", "B|-------|")
    assert [w for _, w in remarks(text, "slip")] == ["this line is shorter than the others here by 2 columns"]
    assert len(events(text)) == 4


def test_a_capital_alone_over_a_block_is_a_label_and_over_its_first_note_a_chord():
    block = "e|--0--3--|\nB|--2--0--|\nG|--2--0--|\nD|--2--0--|\nA|--0--2--|\nE|-----3--|\n"
    labelled = read_text_tab(f"A\n{block}".encode()).tree["measures"][0]
    named = read_text_tab(f"   A\n{block}".encode()).tree["measures"][0]
    assert (labelled.get("label"), labelled.get("chord")) == ("A", None)
    assert (named.get("label"), named.get("chord")) == (None, "A")


def test_words_between_blocks_and_sections():
    block = tab({1: "|-0-2-3-5-|"})
    found = result(f"A Walk\n\n[Verse]\n{block}\nsoftly now\n\n{block}\nChorus 2:\n{block}\nbye bye\n")[0]
    measures = found.tree["measures"]
    assert found.tree["title"] == "A Walk"
    assert [m.get("label") for m in measures] == ["Verse", None, "Chorus 2"]
    assert measures[1]["text"] == "softly now"
    assert any("bye bye" in n.what and n.kind == "dropped" for n in found.notes)


def test_headings():
    head = "Title: Lamps\nBy: A. Nobody\nTuning: drop D\nCapo: 2\nTime: 3/4\nTempo: 96\nKey: G\n\n"
    tree = result(head + tab({1: "|-0-2-3-|"}))[0].tree
    assert (tree["title"], tree["credits"], tree["capo"]) == ("Lamps", "A. Nobody", 2)
    assert (tree["tempo"], tree["key"], tree["measures"][0]["time"]) == ("1/4 = 96", "G major", "3/4")
    assert tree["tuning"][0] == "D2"


def test_chord_names_stand_at_their_beats():
    measures = result("  Am  C/G  F\n" + tab({1: "|-0-0-0-0-|-1-1-1-1-|"}))[0].tree["measures"]
    assert measures[0]["chord"] == {"1": "Am", "3": "C/G"}
    assert measures[1]["chord"] == "F"


@pytest.mark.parametrize(
    ("row", "lengths"),
    [
        ("   4 8 8 2", ["1/4", "1/8", "1/8", "1/2"]),
        ("   q e e h", ["1/4", "1/8", "1/8", "1/2"]),
        ("   q. e q q", ["3/8", "1/8", "1/4", "1/4"]),
        ("rhythm 4", None),
    ],
)
def test_a_rhythm_row_tells_the_rhythm(row, lengths):
    columns = "|-0-2-3-5-|" if "." not in row else "|-0--2-3-5-|"
    text = f"{row}\n{tab({1: columns})}"
    if lengths is None:
        assert remarks(text, "guessed") or remarks(text, "dropped")
        return
    assert [length for length, _ in events(text)] == lengths
    assert not remarks(text, "guessed")


def test_a_rhythm_row_below_and_a_tuplet():
    text = tab({1: "|-0---0---3-5-7-|"}) + "   q   q 3(e e e)  q"
    assert [length for length, _ in events(tab({1: "|-0---0---3-5-7-9-|"}) + "   q   q 3(e e e) q")] == [
        *["1/4"] * 2,
        *["1/12"] * 3,
        "1/4",
    ]
    assert result(text)


def test_a_value_without_a_note_is_a_rest():
    assert events("   4 4 4 4\n" + tab({1: "|-0---3-5-|"}))[1] == ("1/4", [])


@pytest.mark.parametrize("above", [True, False])
def test_counting_tells_the_rhythm(above):
    block = tab({1: "|-0---0---2-2-2-2-0-|"})
    row = "   1 & 2 & 3 e & a 4\n"
    lengths = [length for length, _ in events(row + block if above else block + row)]
    assert lengths == ["1/4", "1/4", "1/16", "1/16", "1/16", "1/16", "1/4"]


def test_counting_to_three_is_three_four():
    text = "   1 2 3   1 2 3\n" + tab({1: "|-0-2-3-|-5-3-2-|"})
    assert result(text)[0].tree["measures"][0]["time"] == "3/4"


def test_a_measure_that_its_row_makes_shorter_has_a_time_of_its_own():
    text = "   q q q q   q q q\n" + tab({1: "|-0-2-3-5-|-0-2-3-|"})
    found = result(text)[0]
    assert [m.get("time") for m in found.tree["measures"]] == [None, "3/4"]
    assert any(n.kind == "doubted" for n in found.notes)


def test_a_pickup():
    text = "   q   q q q q   q q q q\n" + tab({1: "|-0-|-0-2-3-5-|-0-2-3-5-|"})
    assert result(text)[0].tree["measures"][0]["pickup"] is True


def test_parts_by_their_strings_and_names():
    guitar, bass = tab({1: "|-0-2-3-5-|"}), tab({1: "|-0---3---|"}, 4, "GDAE")
    found = result(f"Guitar 1\n{guitar}\nBass\n{bass}\nGuitar 1\n{guitar}\nBass\n{bass}")[0]
    assert [p["id"] for p in found.tree["parts"]] == ["guitar-1", "bass"]
    assert len(found.tree["measures"]) == 2
    unnamed = result(f"{guitar}\n{bass}")[0].tree
    assert [p["instrument"] for p in unnamed["parts"]] == ["guitar", "bass"]


def test_players_with_names_of_their_own():
    block = tab({1: "|-0-2-3-5-|"})
    tree = result(f"Anna:\n{block}\nBen:\n{block}\nAnna:\n{block}\nBen:\n{block}")[0].tree
    assert [p["id"] for p in tree["parts"]] == ["anna", "ben"]


def test_parts_of_different_lengths_end_in_rests():
    guitar, bass = tab({1: "|-0-2-3-5-|-0-2-|"}), tab({1: "|-0---3---|"}, 4, "GDAE")
    assert result(f"{guitar}\n{bass}")[0].tree["measures"][1]["parts"]["strings-4"] == {"notes": "rest"}


def test_far_frets_are_pointed_out_and_left():
    text = tab({2: "|-3-15-5-3-|"})
    assert any("fret 15 is far" in what for _, what in remarks(text, "slip"))
    assert events(text) == [("1/4", [(2, f)]) for f in (3, 15, 5, 3)]


def test_notes_outside_the_key_are_pointed_out():
    scale = "-0-2-4-5-7-5-4-2-"
    text = tab({1: "|" + "|".join([scale.replace("0", "0")] * 2) + "|-0-2-4-6-|"})
    assert len([what for _, what in remarks(text, "slip") if "outside" in what]) == 1


def test_frets_up_to_36_and_frets_beyond():
    assert events(tab({1: "|-36-|"}))[0][1] == [(1, 36)]
    assert remarks(tab({1: "|-57-|"}), "doubted")


def test_blank_lines_between_the_strings():
    assert len(events(tab({1: "|-0-2-3-5-|"}).replace("\n", "\n\n"))) == 4


def test_blocks_without_a_gap_between_them():
    assert len(events(tab({1: "|-0-2-3-5-|"}) * 3)) == 12


def test_a_title_with_an_instrument_in_it_stays_the_title_of_a_part_alone():
    tab_lines = "".join(f"{name}|--3--5--|\n" for name in "GDAE")
    found = read_text_tab(f"Night Bus bass\n\n{tab_lines}".encode())
    assert (found.tree["title"], found.tree["instrument"]) == ("Night Bus bass", "bass")
    assert "the name of the part is read as the title" in [note.what for note in found.notes]
    assert "title" not in read_text_tab(f"Bass:\n{tab_lines}".encode()).tree
    named = read_text_tab(f"Title: Tram\n\nNight Bus bass\n{tab_lines}".encode())
    assert (named.tree["title"], named.notes[0].kind) == ("Tram", "dropped")
