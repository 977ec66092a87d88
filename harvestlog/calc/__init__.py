"""Pure arithmetic: numbers in, numbers out; no Django, clock, files or chance."""
