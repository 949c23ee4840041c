"""Comes in: a Book. Goes out: the booklet as plain text; nothing is read or measured here.
"""
def plain_text(book): return b""
