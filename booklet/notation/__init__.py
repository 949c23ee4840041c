"""Words of a round in, candidate instruction trees out, and back again; (value, language table) → value, counts nothing."""
