"""Order of coats, states, explanation, contradictions, where to look next."""
