"""The measured loops of geometry, where passes look for them."""

from cncpanel.geometry.ring import SHORT, Ring, ring_of, ring_of_or_none, rings_of

__all__ = ["SHORT", "Ring", "ring_of", "ring_of_or_none", "rings_of"]
