"""Other people's files in and out: parse and format, no record file."""
