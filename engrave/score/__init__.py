"""The music itself: parts, measures, voices, events, notes. Nothing here knows about paper."""
