"""Panel features turned into what is to be machined: tool chosen, spots named that it cannot reach."""
