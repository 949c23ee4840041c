"""A kit file and the figures of its patterns in, what to order and pack out; no edition, no paper, no file is known here."""
