"""Crochet patterns, understood: the rooms of the program are listed in DEVELOPERS.md. Nothing is imported here."""
