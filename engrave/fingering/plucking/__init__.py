"""The thinking a right hand does: which finger plucks a string, and which way a pick or a strum goes."""
