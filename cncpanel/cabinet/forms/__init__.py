"""Base forms: each writes a job file from a brief, with its sizes as named values to edit."""
