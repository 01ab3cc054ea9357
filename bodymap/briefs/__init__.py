"""The prints."""
