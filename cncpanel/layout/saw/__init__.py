"""The saw plan: panels out of boards by straight cuts from edge to edge."""
