"""Findings and figures in, text for people or plain values for programs out; nothing is judged or computed here."""
