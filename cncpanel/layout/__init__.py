"""Panels onto sheets: where each part lies, and that nothing touches."""
