"""What is asked of each command, as frozen records; their fields are the command line's options."""
