"""A score in braille music.

Source of the signs: New International Manual of Braille Music Notation (compiled by Bettye Krolick, 1996), from memory
where a test names no printed example. What is written in a way of our own:

- Of the ways to write less there are the groups of sixteenths and smaller notes and the repeated measure, neither at the
  start of a line; no doubled signs, no repeats of parts of measures.
- The string of a note that has a tab stands before it as a string sign where it changes; the fret follows from string and
  pitch. Fingers of the plucking hand, techniques without a sign, and spans without one are word-sign expressions.
- Chords are read down under treble clefs, else up. An octave line is not written: notes stand at their own height.
- Letters are uncontracted; a letter with an accent has dot 4 before it.

Not covered, and told as a warning: rhythm slashes (notes of the middle line), where in a measure chords stand, the inner
sums of a time signature, shapes of chords, changes of clef, where a barre or position ends, breaks of lines and pages.
"""
