"""A score made heard: plucked strings computed from nothing but numbers, with numpy."""
