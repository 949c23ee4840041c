"""The translator's road: a pattern's own words as messages, out to PO, XLIFF and tables and back; no page is made here."""
