"""Songbooks: chord sheets, the pages before and after the songs, what stands in the margins."""
