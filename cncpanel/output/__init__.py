"""Frozen values to text or bytes, one file a format; nothing here computes geometry."""
