"""The shop's store of offcuts: one small file that several jobs draw from, whole at any moment."""
