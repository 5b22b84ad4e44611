"""Every adjustable number of the page, by name, resolved once from the files in styles/."""
