"""Points, lines and arcs, contours and regions: plain values, kept exact from job file to program."""
