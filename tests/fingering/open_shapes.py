"""Open-position shapes that every guitar book prints (common practice, no source)."""

OPEN_SHAPES = {
    "C": "x32010", "A": "x02220", "G": "320003", "E": "022100", "D": "xx0232", "F": "133211",
    "Am": "x02210", "Em": "022000", "Dm": "xx0231", "C7": "x32310", "A7": "x02020", "G7": "320001",
    "E7": "020100", "D7": "xx0212", "B7": "x21202", "Cmaj7": "x32000", "Amaj7": "x02120", "Dmaj7": "xx0222",
    "Gmaj7": "320002", "Fmaj7": "xx3210", "Em7": "022030 020000", "Am7": "x02010", "Dm7": "xx0211",
    "Asus2": "x02200", "Asus4": "x02230", "Dsus2": "xx0230", "Dsus4": "xx0233", "Esus4": "022200",
    "A7sus4": "x02030", "Cadd9": "x32030", "C6": "x32210", "G6": "320000", "Am6": "x02212", "Dm6": "xx0201",
    "E5": "022xxx", "A5": "x022xx", "D5": "xx023x", "Bm": "x24432", "F#m": "244222", "B": "x24442",
    "Bb": "x13331", "Gm": "355333", "Cm": "x35543", "Bdim": "x2343x", "Caug": "x32110", "Edim7": "xx2323",
    "Bm7b5": "x2323x", "E7#9": "076780", "D/F#": "200232", "G/B": "x20003", "C/G": "332010",
}  # fmt: skip
"""Shapes by chord name, strings 6 to 1; two where both are common."""

MORE_SHAPES = {
    "F#": "244322", "Ab": "466544", "C#m": "x46654", "G#m": "466444", "Fm": "133111", "F7": "131211",
    "Bb7": "x13131", "Bm7": "x24232 x20202", "F#m7": "242222", "Cm7": "x35343", "Gm7": "353333",
    "Fm7": "131111", "Eb": "xx5343 x68886 xx1343", "Dm7b5": "xx0111", "E7sus4": "020200", "D7sus4": "xx0213",
    "Em6": "022020", "Emaj7": "021100", "Bmaj7": "x24342", "F#7": "242322", "Ddim7": "xx0101",
    "Eaug": "xx2110 032110", "C#7": "x46464 x4342x", "Bb6": "x1333x xx0333 113x3x", "Fm6": "133131 1x0111",
    "Bbm": "x13321", "Ebm": "xx4342 x68876", "C#": "x46664 x43121", "A6": "x02222", "E6": "022120",
    "B7sus4": "x24252", "G7sus4": "330011 353533", "C7sus4": "x35363 x33011 x33311", "F6": "xx0211 1x0211",
    "C9": "x32333 x3233x", "D9": "x54555 x5455x", "G9": "3x0201 300201 32020x", "E9": "020102",
    "A9": "x02423 x02100", "Am9": "x05500 x02413", "Gsus4": "3x0013 330013", "Csus4": "x33011 x3301x",
    "Fsus4": "133311 xx3311", "Bsus4": "x24452", "Am7b5": "x01213", "C5": "x355xx x35xxx",
    "G5": "355xxx 3x0033", "F5": "133xxx", "A/C#": "x42220", "D/A": "x00232", "E/G#": "422100 4x2400",
    "Am/G": "302210 3x2210", "F/C": "x33211", "Em/D": "xx0000 xx0003",
}  # fmt: skip
"""Others that are often printed, moved barre shapes among them (from memory); costs were not chosen by them."""


def frets_of(text):
    return tuple(None if letter == "x" else int(letter) for letter in text)
