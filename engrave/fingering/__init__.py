"""The thinking a player does: which string, fret and finger for each note, chord shapes, reach, difficulty."""
