"""Film readings: what a gauge can read, and what the readings of a zone say."""
