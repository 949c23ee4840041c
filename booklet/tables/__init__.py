"""The tables of shared/, read, checked and typed; no pattern is known here."""
