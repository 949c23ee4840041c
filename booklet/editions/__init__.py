"""What an edition is: its languages, terms, units, market, reader and layout; no pattern is known here."""
