"""MusicXML texts put together for the tests, and what is read from them."""

from engrave.exchange.musicxml.reader import read_musicxml
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from engrave.writing.dump import dump_score

GUITAR = "E2 A2 D3 G3 B3 E4"


def note(pitch="C4", length=4, kind="quarter", inner="", notations="", chord=False, voice=1):
    """A note; `length` in sixteenths."""
    alter = f"<alter>{pitch.count('#') - pitch.count('b')}</alter>" if len(pitch) > 2 else ""
    what = (
        "<rest/>"
        if pitch == "rest"
        else f"<pitch><step>{pitch[0]}</step>{alter}<octave>{pitch[-1]}</octave></pitch>"
    )
    marks = f"<notations>{notations}</notations>" if notations else ""
    return (
        f"<note>{'<chord/>' if chord else ''}{what}<duration>{length}</duration><voice>{voice}</voice>"
        f"<type>{kind}</type>{inner}{marks}</note>"
    )


def fretted(string, fret, pitch, more="", notations="", **keys):
    technical = f"<technical><string>{string}</string><fret>{fret}</fret>{more}</technical>{notations}"
    return note(pitch, notations=technical, **keys)


def attributes(inner="", time="4/4", fifths=0):
    beats, unit = time.split("/")
    return (
        f"<attributes><divisions>4</divisions><key><fifths>{fifths}</fifths></key>"
        f"<time><beats>{beats}</beats><beat-type>{unit}</beat-type></time>{inner}</attributes>"
    )


def strings(tuning=GUITAR, capo=""):
    rows = "".join(
        f'<staff-tuning line="{i}"><tuning-step>{p[0]}</tuning-step><tuning-octave>{p[1]}</tuning-octave></staff-tuning>'
        for i, p in enumerate(tuning.split(), 1)
    )
    return f"<clef><sign>TAB</sign></clef><staff-details>{rows}{capo}</staff-details>"


def score(*measures, head="", name="Song"):
    """A file of one part; the first measure gets the usual attributes unless it has its own."""
    body = "".join(
        f'<measure number="{i}">{attributes() if i == 1 and "<attributes>" not in m else ""}{m}</measure>'
        for i, m in enumerate(measures, 1)
    )
    return (
        f'<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0">{head}<part-list>'
        f'<score-part id="P1"><part-name>{name}</part-name></score-part></part-list>'
        f'<part id="P1">{body}</part></score-partwise>'
    )


def load(text, wanted=(), **more):
    """The tree and losses of a text; the tree must be a right score."""
    tree, losses = read_musicxml(text.encode() if isinstance(text, str) else text, wanted, **more)
    log = ProblemLog("f")
    assert read_text_score(dump_score(tree), log) is not None, [str(p) for p in log.in_order()]
    return tree, losses


def measures(*bodies, **keys):
    return load(score(*bodies, **keys))[0]["measures"]


FOUR = note("C4") + note("D4") + note("E4") + note("F4")


def direction(inner, sound=""):
    return f"<direction><direction-type>{inner}</direction-type>{sound}</direction>"
