"""Panels and their features as regions and depths, judged: what the drawing asks, exactly."""
