"""The order of work on a sheet: tools, runs, links, retracts, stops."""
