"""The whole flow from job file to a proven folder."""
