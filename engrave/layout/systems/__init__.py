"""From one line of measures to the marks of its staves, stacked from the staff outwards."""
