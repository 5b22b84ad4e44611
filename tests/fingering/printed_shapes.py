"""Shapes that chord charts print first, instrument by instrument (common practice; from memory, no source).

Strings from the thickest to the thinnest; several where books differ. `python -m tests.fingering.report` counts them.
"""

GUITAR = {
    "C": "x32010", "A": "x02220", "G": "320003 320033", "E": "022100", "D": "xx0232", "F": "133211 xx3211",
    "Am": "x02210", "Em": "022000", "Dm": "xx0231", "C7": "x32310", "A7": "x02020", "G7": "320001",
    "E7": "020100 022130", "D7": "xx0212", "B7": "x21202", "Cmaj7": "x32000", "Amaj7": "x02120",
    "Dmaj7": "xx0222", "Gmaj7": "320002", "Fmaj7": "xx3210", "Em7": "022030 020000 022033", "Am7": "x02010",
    "Dm7": "xx0211", "Asus2": "x02200", "Asus4": "x02230", "Dsus2": "xx0230", "Dsus4": "xx0233",
    "Esus4": "022200", "A7sus4": "x02030", "Cadd9": "x32030 x32033", "C6": "x32210", "G6": "320000",
    "Am6": "x02212", "Dm6": "xx0201", "E5": "022xxx", "A5": "x022xx", "D5": "xx023x", "Bm": "x24432",
    "F#m": "244222", "B": "x24442", "Bb": "x13331", "Gm": "355333", "Cm": "x35543", "Bdim": "x2343x",
    "Caug": "x32110", "Edim7": "xx2323", "Bm7b5": "x2323x", "E7#9": "076780 x7678x 07678x",
    "D/F#": "200232 2x0232", "G/B": "x20003 x20033", "C/G": "332010", "F#": "244322", "Ab": "466544",
    "C#m": "x46654", "G#m": "466444", "Fm": "133111", "F7": "131211", "Bb7": "x13131",
    "Bm7": "x24232 x20202", "F#m7": "242222", "Cm7": "x35343", "Gm7": "353333", "Fm7": "131111",
    "Eb": "xx5343 x68886 xx1343 x65343", "Dm7b5": "xx0111", "E7sus4": "020200 022200 022230",
    "D7sus4": "xx0213", "Em6": "022020", "Emaj7": "021100", "Bmaj7": "x24342", "F#7": "242322",
    "Ddim7": "xx0101", "Eaug": "xx2110 032110", "C#7": "x46464 x4342x", "Bb6": "x1333x xx0333 113x3x",
    "Fm6": "133131 1x0111", "Bbm": "x13321", "Ebm": "xx4342 x68876 xx1342", "C#": "x46664 x43121",
    "A6": "x02222", "E6": "022120", "B7sus4": "x24252", "G7sus4": "330011 353533",
    "C7sus4": "x35363 x33011 x33311", "F6": "xx0211 1x0211", "C9": "x32333 x3233x",
    "D9": "x54555 x5455x", "G9": "3x0201 300201 32020x", "E9": "020102", "A9": "x02423 x02100",
    "Am9": "x05500 x02413", "Gsus4": "3x0013 330013", "Csus4": "x33011 x3301x", "Fsus4": "133311 xx3311",
    "Bsus4": "x24452", "Am7b5": "x01213", "C5": "x355xx x35xxx", "G5": "355xxx 3x0033", "F5": "133xxx",
    "A/C#": "x42220", "D/A": "x00232", "E/G#": "422100 4x2400", "Am/G": "302210 3x2210",
    "F/C": "x33211", "Em/D": "xx0000 xx0003", "Bbmaj7": "x13231", "C#m7": "x46454", "G#m7": "464444",
    "Gadd9": "320203 3x0203 300203", "Bdim7": "x2313x", "Fm6/C": "x31111 x33131", "Cm6": "x35545 x31213",
    "C/E": "032010", "Am/C": "x32210", "F#5": "244xxx", "B5": "x244xx", "Bb5": "x133xx", "Ab7": "464544",
    "Ebmaj7": "xx1333 x68786", "Abmaj7": "465544 4x554x", "F#m7b5": "2x221x xx4555", "Gdim7": "3x232x xx5656",
    "Aaug": "x03221", "G7/B": "x20001", "D7/F#": "2x0212 200212", "A7/E": "002020", "Bb/D": "xx0331",
}  # fmt: skip

UKULELE = {
    "C": "0003", "D": "2220", "E": "4442 1402", "F": "2010", "G": "0232", "A": "2100", "B": "4322",
    "Bb": "3211", "Eb": "0331", "Ab": "5343", "Db": "1114", "F#": "3121", "Cm": "0333", "Dm": "2210",
    "Em": "0432", "Fm": "1013", "Gm": "0231", "Am": "2000", "Bm": "4222", "F#m": "2120", "C#m": "1104",
    "G#m": "4342 1342", "Bbm": "3111", "Ebm": "3321", "C7": "0001", "D7": "2223 2020", "E7": "1202",
    "F7": "2313 2310", "G7": "0212", "A7": "0100", "B7": "2322", "Bb7": "1211", "Eb7": "3334",
    "Ab7": "1323", "Cm7": "3333", "Dm7": "2213", "Em7": "0202", "Gm7": "0211", "Am7": "0000 0433",
    "Bm7": "2222", "F#m7": "2424", "Cmaj7": "0002", "Fmaj7": "2413 5500", "Gmaj7": "0222",
    "Dmaj7": "2224", "Amaj7": "1100", "Bbmaj7": "3210", "Csus4": "0013", "Dsus4": "0230", "Gsus4": "0233",
    "Asus4": "2200", "Fsus4": "3011", "Csus2": "0233", "Dsus2": "2200", "Cdim7": "2323", "Gaug": "0332 4332",
    "Caug": "1003", "C6": "0000", "F6": "2213", "D6": "2222", "G6": "0202", "A6": "2424",
}  # fmt: skip
"""Tuned g C E A, the fourth string high."""

BARITONE_UKULELE = {
    "G": "0003", "C": "2010", "D": "0232", "A": "2220", "E": "2100", "F": "3211", "B": "4442", "Bb": "3331",
    "Em": "2000", "Am": "2210", "Dm": "0231", "Bm": "4432", "Gm": "0333", "Cm": "1013", "Fm": "3111",
    "F#m": "4222", "G7": "0001", "C7": "2313 2310", "D7": "0212", "A7": "2020 2223", "E7": "0100 2130",
    "B7": "1202", "Am7": "2010 2213", "Em7": "0000 2030", "Dm7": "0211", "Gmaj7": "0002",
    "Fmaj7": "3210", "Dsus4": "0233", "Asus4": "2230",
}  # fmt: skip
"""Tuned D G B E: a guitar's four thinnest strings, and its shapes without the basses."""

MANDOLIN = {
    "G": "0023", "C": "0230", "D": "2002", "A": "2245 2240 6200", "E": "1220 4220", "F": "5301", "Bb": "3011",
    "B": "4122 4467", "Am": "2230", "Em": "0220 0223", "Dm": "2001", "Bm": "4022", "Gm": "0013", "Cm": "0133 0131",
    "F#m": "2442", "G7": "0021", "C7": "3230", "D7": "2032", "A7": "2243 2223 0240", "E7": "1020 1022",
    "B7": "2122 4222", "Am7": "2233 2033", "Dm7": "2031 2031", "Em7": "0020 0223",
}  # fmt: skip
"""Tuned G D A E, in fifths."""

TENOR_GUITAR = {
    "C": "0023", "F": "0230", "G": "2002", "D": "2245 2240 6200", "A": "1220 4220", "Bb": "5301", "Eb": "3011",
    "Dm": "2230", "Am": "0220 0223", "Gm": "2001", "Em": "4022", "Cm": "0013", "Fm": "0133 0131", "C7": "0021",
    "F7": "3230", "G7": "2032", "D7": "2243 2223 0240", "A7": "1020 1022", "E7": "2122 4222",
}  # fmt: skip
"""Tuned C G D A: the mandolin's shapes, a fifth lower."""

BEGINNER = {
    **{name: GUITAR[name] for name in (
        "C", "A", "G", "E", "D", "Am", "Em", "Dm", "C7", "A7", "G7", "E7", "D7", "B7", "Cmaj7", "Amaj7", "Dmaj7",
        "Gmaj7", "Fmaj7", "Em7", "Am7", "Dm7", "Asus2", "Asus4", "Dsus2", "Dsus4", "Esus4", "A7sus4", "Cadd9",
        "G6", "E5", "A5", "D5", "G/B", "Em6", "Emaj7",
    )},
    "F": "xx3211 xxx211 xx3210", "Bm": "xxx432 xx4432", "B": "xxx442 xx4442", "Bb": "xxx331 xx3331 xx0331",
    "Gm": "xxx333 xx0333", "Cm": "xxx543 xx5543 xxx013 x310xx x3101x xx1013", "F#m": "xxx222 xx4222",
    "F#": "xxx322 xx4322", "Fm": "xxx111 xx3111", "Bbm": "xxx321 xx3321", "C#m": "xxx654 xx2120 xxx120",
    "G#m": "xxx444 xx6444", "Ab": "xxx544 xx1114 xx6544 xxx114", "Eb": "xxx343 xx1343 xxx346", "C#": "xxx121 xx3121",
    "Ebm": "xxx342 xx1342 xx4342", "F7": "xx1211 xxx211 xxx241 xx3241", "Bb7": "xx3131 xxx131 xx0131", "F#7": "xx4320 xxx320 xx2322",
    "Bm7": "x20202 xx0202 xxx202 xx4232", "C#m7": "xxx100 x42100 xx2100", "F#m7": "xx2222 20222x xx4220",
    "Cm7": "xxx343 xx1313 xx5343", "Gm7": "xxx333 xx3333", "Fm7": "xx1111 xxx111",
}  # fmt: skip
"""Guitar: the open form where there is one, else a form of three or four thin strings without a long barre."""

PRINTED = {
    "guitar": GUITAR,
    "ukulele": UKULELE,
    "baritone-ukulele": BARITONE_UKULELE,
    "mandolin": MANDOLIN,
    "tenor-guitar": TENOR_GUITAR,
}


def frets_of(text):
    return tuple(None if letter == "x" else int(letter) for letter in text)
