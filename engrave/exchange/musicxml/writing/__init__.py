"""From a score to MusicXML elements."""
