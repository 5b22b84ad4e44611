"""The commands read and write as their users meet them: files, messages, exit statuses, nothing half written."""

import io
import wave
import zipfile

import mido
import pytest

from engrave.cli import main
from engrave.playing.performance import perform
from engrave.reading.load import load_score
from engrave.theory.numbering import name_measures

SCORE = "score: 1\ntitle: Quay\nmeasures:\n  - notes: [1/4: [{3: 0}, {3: 2}, {2: 0}, {2: 1}]]\n  - notes: [1/1: {1: 0}]\n"
TAB = "e|--0---2---3---2-|\nB|----------------|\nG|----------------|\nD|----------------|\nA|----------------|\nE|----------------|\n"


@pytest.fixture
def score(tmp_path):
    path = tmp_path / "quay.yaml"
    path.write_text(SCORE, "utf-8")
    return path


def write(score, form, *options):
    return main(["write", str(score), "--as", form, "--quiet", *options])


def test_musicxml_compressed_or_not_reads_back_as_the_same_score(score, tmp_path):
    for form in ("musicxml", "mxl"):
        assert write(score, form) == 0
        back = tmp_path / f"{form}.yaml"
        assert main(["read", str(score.with_suffix(f".{form}")), "-o", str(back), "--quiet"]) == 0
        old, new = load_score(str(score))[0], load_score(str(back))[0]
        assert perform(new, 0, 2, True) == perform(old, 0, 2, True)
        assert new.title == old.title


def test_a_compressed_file_names_its_score_in_the_container(score):
    assert write(score, "mxl") == 0
    names = zipfile.ZipFile(score.with_suffix(".mxl")).namelist()
    assert "META-INF/container.xml" in names  # MusicXML 4.0, "Compressed .MXL files"


def test_midi_has_the_pitches_of_the_page(score):
    assert write(score, "midi") == 0
    file = mido.MidiFile(score.with_suffix(".mid"))
    played = [m.note for m in mido.merge_tracks(file.tracks) if m.type == "note_on" and m.velocity]
    assert played == [55, 57, 59, 60, 64]  # G3 A3 B3 C4 E4 on open and fretted strings (standard tuning)


def test_midi_of_some_measures_only(score):
    assert write(score, "midi", "--measures", "2") == 0
    file = mido.MidiFile(score.with_suffix(".mid"))
    played = [m.note for m in mido.merge_tracks(file.tracks) if m.type == "note_on" and m.velocity]
    assert played == [64]


def test_sound_lasts_as_long_as_the_tempo_says(score):
    lengths = []
    for scale in ("1", "2"):
        assert write(score, "wav", "--tempo-scale", scale) == 0
        with wave.open(io.BytesIO(score.with_suffix(".wav").read_bytes())) as sound:
            assert sound.getframerate() == 44100
            lengths.append(sound.getnframes() / sound.getframerate())
    assert lengths[0] > lengths[1] + 1.5


def test_a_tempo_scale_out_of_reason_is_wrong_use(score):
    with pytest.raises(SystemExit) as stop:
        write(score, "wav", "--tempo-scale", "9")
    assert stop.value.code == 2


@pytest.mark.parametrize(
    ("form", "options"),
    [
        ("midi", ("--room",)),
        ("text", ("--click",)),
        ("wav", ("--rise", "5")),
        ("wav", ("--loop", "0")),
        ("wav", ("--count-in", "9")),
        ("wav", ("--tempo-scale", "nan")),
        ("musicxml", ("--no-repeats",)),
        ("text", ("--measures", "1")),
    ],
)
def test_options_that_a_form_does_not_have_are_wrong_use(score, capsys, form, options):
    with pytest.raises(SystemExit) as stop:
        write(score, form, *options)
    assert stop.value.code == 2
    assert options[0] in capsys.readouterr().err


def test_who_writes_sound_is_told_how_loud_it_is_and_warned_once(score, capsys):
    assert main(["write", str(score), "--as", "wav"]) == 0
    told = capsys.readouterr().err
    assert "dBFS" in told
    assert told.count("turn the volume down") == 1


def test_what_is_not_heard_is_told_with_its_measure(tmp_path, capsys):
    path = tmp_path / "knock.yaml"
    path.write_text("score: 1\nmeasures:\n  - notes: [1/1: {4: 0 golpe}]\n", "utf-8")
    for form in ("midi", "wav"):
        assert write(path, form) == 0
        assert "golpe is not heard (Guitar, measure 1)" in capsys.readouterr().err


TWO = "score: 1\nparts: [{id: top, name: Lead, instrument: guitar}, {id: low, name: Bass, instrument: bass}]\nmeasures:\n  - parts: {top: {notes: [1/1: {1: 0}]}, low: {notes: [1/1: {4: 0}]}}\n"


@pytest.mark.parametrize("wish", ["Bass", "low", "2", " bass "])
def test_a_part_is_played_alone(tmp_path, wish):
    path = tmp_path / "two.yaml"
    path.write_text(TWO, "utf-8")
    assert write(path, "midi", "--part", wish) == 0
    file = mido.MidiFile(path.with_suffix(".mid"))
    played = [m.note for m in mido.merge_tracks(file.tracks) if m.type == "note_on" and m.velocity]
    assert played == [28]  # E1, the lowest string of a bass (standard tuning)


def test_a_part_that_is_not_there_is_an_error_that_names_those_that_are(tmp_path, capsys):
    path = tmp_path / "two.yaml"
    path.write_text(TWO, "utf-8")
    assert write(path, "wav", "--part", "Drums") == 1
    assert "1 Lead, 2 Bass" in capsys.readouterr().err
    assert not path.with_suffix(".wav").exists()


def test_a_click_changes_the_sound(score):
    found = []
    for options in ((), ("--click",)):
        assert write(score, "wav", *options) == 0
        found.append(score.with_suffix(".wav").read_bytes())
    assert len(found[0]) == len(found[1])
    assert found[0] != found[1]


def test_unknown_measures_are_an_error_and_write_nothing(score, capsys):
    assert write(score, "midi", "--measures", "7") == 1
    assert "7" in capsys.readouterr().err
    assert not score.with_suffix(".mid").exists()


def test_a_wrong_score_writes_nothing(tmp_path, capsys):
    path = tmp_path / "wrong.yaml"
    path.write_text("score: 1\nmeasures:\n  - notes: [1/4: {9: 0}]\n", "utf-8")
    assert write(path, "musicxml") == 1
    assert "wrong.yaml:3:" in capsys.readouterr().err
    assert [p.name for p in tmp_path.iterdir()] == ["wrong.yaml"]


def test_typed_tab_becomes_a_score_that_can_be_made(tmp_path, capsys):
    path = tmp_path / "typed.txt"
    path.write_text(TAB, "utf-8")
    assert main(["read", str(path)]) == 0
    assert "guessed" in capsys.readouterr().err
    assert main(["make", str(tmp_path / "typed.yaml"), "--quiet"]) == 0
    assert (tmp_path / "typed.pdf").exists()


def test_a_score_that_stands_there_already_is_kept(tmp_path, capsys):
    path = tmp_path / "typed.txt"
    path.write_text(TAB, "utf-8")
    (tmp_path / "typed.yaml").write_text("mine", "utf-8")
    assert main(["read", str(path)]) == 1
    assert (tmp_path / "typed.yaml").read_text("utf-8") == "mine"
    assert "typed.yaml" in capsys.readouterr().err
    assert main(["read", str(path), "-o", str(tmp_path / "typed.yaml"), "--quiet"]) == 0
    assert (tmp_path / "typed.yaml").read_text("utf-8").startswith("score: 1")


@pytest.mark.parametrize(
    "data", [b"", b"MThd", b"<score-partwise", b"PK\x03\x04", b"no tab here\n", b"\x00\xff\xfe\x80"]
)
def test_what_cannot_be_read_is_one_error_with_its_file(tmp_path, capsys, data):
    path = tmp_path / "odd.bin"
    path.write_bytes(data)
    assert main(["read", str(path)]) == 1
    captured = capsys.readouterr()
    assert str(path) in captured.err
    assert "Traceback" not in captured.err
    assert not (tmp_path / "odd.yaml").exists()


def test_a_missing_file_is_an_error(tmp_path, capsys):
    assert main(["read", str(tmp_path / "none.mid")]) == 1
    assert "none.mid" in capsys.readouterr().err


def test_a_reading_table_of_ones_own_has_the_form_of_the_shipped_one(tmp_path, capsys):
    table, path, target = tmp_path / "signs.yaml", tmp_path / "typed.txt", tmp_path / "typed.yaml"
    path.write_text(TAB.replace("-0-", "-0*", 1), "utf-8")
    assert "0*" in path.read_text("utf-8")
    table.write_text('signs: {"*": accent}\n', "utf-8")
    assert main(["read", str(path), "--table", str(table), "-o", str(target)]) == 0
    assert "accent" in target.read_text("utf-8")
    capsys.readouterr()
    for text, message in (
        (
            "- not a table\n",
            ':1:1: this is not a table of signs; write the signs as in the shipped table: signs: {"v": pull-off}',
        ),
        (
            'signs: {"3": accent}\n',
            ':1:9: "3" is not a sign; use one character other than a digit, a dash or a barline',
        ),
        (
            'signs: {"*": acent}\n',
            ':1:14: "acent" is not the meaning of a sign; did you mean "accent"?',
        ),
        ("sings: {}\n", ':1:1: "sings" is not known in a table of signs; did you mean "signs"?'),
    ):
        table.write_text(text, "utf-8")
        assert main(["read", str(path), "--table", str(table), "-o", str(target)]) == 1
        assert capsys.readouterr().err.startswith(f"the table {table}{message}")


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ([4], "measure 4"),
        ([4, 5, 6], "measures 4-6"),
        ([1, 3, 4, 9], "measures 1, 3-4 and 9"),
        (["4", "4a", "5", "6"], "measures 4, 4a and 5-6"),
        (range(1, 40, 2), "measures 1, 3, 5, 7, 9, 11 and 14 more"),
    ],
)
def test_measures_are_named_in_runs(numbers, words):
    assert name_measures([str(number) for number in numbers]) == words


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("tune.txt", b"", "the file is empty"),
        ("tune.mid", b" \n", "the file is empty"),
        ("tune.mid", b"words", "not a MIDI file"),
        ("tune.mxl", b"\x00\x01junk", "not a MusicXML file"),
        ("tune.yaml", SCORE.encode(), "a document of Engrave already"),
        ("tune.pdf", b"%PDF-1.4 \x00\x01", "this is a PDF file, not plain text, MusicXML or MIDI"),
        ("tune.txt", b"just words", "no tab in this text"),
    ],
)
def test_what_cannot_be_read_is_told_by_what_it_is(tmp_path, name, content, words, capsys):
    path = tmp_path / name
    path.write_bytes(content)
    assert main(["read", str(path), "-o", str(tmp_path / "result.yaml")]) == 1
    assert words in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == [path]


def test_missing_files_and_folders_are_told_as_by_every_command(tmp_path, capsys):
    assert main(["read", str(tmp_path / "no.txt")]) == main(["read", str(tmp_path)]) == 1
    assert capsys.readouterr().err.splitlines() == [
        f"{tmp_path / 'no.txt'}: there is no such file",
        f"{tmp_path}: this is a folder, not a file",
    ]


def test_read_takes_standard_input(tmp_path, monkeypatch, capsys):
    class Input:
        buffer = io.BytesIO(TAB.encode())

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sys.stdin", Input)
    assert main(["read", "-"]) == 0
    assert load_score(str(tmp_path / "score.yaml"))[0] is not None
    assert "standard input:1:" in capsys.readouterr().err


def test_more_than_half_an_hour_of_sound_is_refused(tmp_path, capsys):
    path = tmp_path / "long.yaml"
    path.write_text("score: 1\ntempo: 1/4 = 20\nmeasures: [{multiple-rest: 999}]\n", "utf-8")
    assert main(["write", str(path), "--as", "wav"]) == 1
    assert "minutes of sound; at most 30 can be written" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("kind", "command"),
    [*((kind, ["place"]) for kind in ("handout", "songbook", "paper")), ("paper", ["write", "--as", "text"])],
)
def test_what_is_no_score_is_told_by_what_it_is(tmp_path, kind, command, capsys):
    path = tmp_path / "lesson.yaml"
    path.write_text(f"{kind}: 1\ntitle: x\n", "utf-8")
    assert main([*command, str(path)]) == 1
    assert (
        capsys.readouterr().err
        == f"{path}:1:1: this is a {kind}, not a score; a score starts with score: 1\n"
    )


TWO_PARTS = "Part: Anna; guitar\nPart: Ben; guitar\n\nAnna:\n{}\nBen:\n{}".format(TAB, TAB.replace("2", "7"))


@pytest.mark.parametrize(("wish", "names"), [("ben", ["Ben"]), ("1", ["Anna"]), ("2", ["Ben"])])
def test_one_part_of_a_typed_tab_is_taken(tmp_path, wish, names):
    tab = tmp_path / "duo.txt"
    tab.write_text(TWO_PARTS, "utf-8")
    assert main(["read", str(tab), "--part", wish, "--quiet"]) == 0
    score = load_score(str(tmp_path / "duo.yaml"))[0]
    assert [part.name for part in score.parts] == names
    frets = {
        note.fret
        for voice in score.parts[0].measures[0].voices
        for event in voice.events
        for note in event.notes
    }
    assert (7 in frets) == (names == ["Ben"])


def test_a_part_that_is_not_in_a_typed_tab_is_told_with_those_that_are(tmp_path, capsys):
    tab = tmp_path / "duo.txt"
    tab.write_text(TWO_PARTS, "utf-8")
    assert main(["read", str(tab), "--part", "Carl"]) == 1
    assert capsys.readouterr().err == f'{tab}: the file has no part "Carl"; it has: 1 Anna, 2 Ben\n'


def test_a_table_is_for_typed_tab_and_is_told_by_its_own_name(score, tmp_path, capsys):
    assert write(score, "midi") == write(score, "text") == 0
    table = tmp_path / "no.yaml"
    assert (
        main(["read", str(score.with_suffix(".mid")), "--table", str(table), "-o", str(tmp_path / "x.yaml")])
        == 1
    )
    assert "--table is for typed tab" in capsys.readouterr().err
    assert (
        main(["read", str(score.with_suffix(".txt")), "--table", str(table), "-o", str(tmp_path / "x.yaml")])
        == 1
    )
    assert f"the table {table}: there is no such file" in capsys.readouterr().err


def test_midi_of_music_in_which_nothing_sounds_is_refused(tmp_path, capsys):
    path = tmp_path / "rest.yaml"
    path.write_text("score: 1\nmeasures: [{notes: [1/1: rest]}]\n", "utf-8")
    assert main(["write", str(path), "--as", "midi"]) == 1
    assert "nothing sounds in this music" in capsys.readouterr().err
    assert not (tmp_path / "rest.mid").exists()
