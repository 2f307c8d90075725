"""Whole panels resolved."""

from resolving import Resolve


def test_a_plain_panel_is_its_rectangle(resolved: Resolve) -> None:
    panel = resolved('[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]').panel
    assert panel.outline.area == 400 * 300
    assert panel.outline.bounds == (0, 0, 400, 300)
