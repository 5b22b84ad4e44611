"""MusicXML 4.0."""
