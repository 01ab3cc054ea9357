"""The checks before a zone may be stripped."""
