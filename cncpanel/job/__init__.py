"""The job file: its schema, its formulas, its reading; every mistake gathered with file, line and key."""
