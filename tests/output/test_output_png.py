"""A map as a PNG, read back by Pillow: its size, its scale, light and dark, Y upward."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from cncpanel.output.png import DARK, LIGHT, map_png


def test_a_map_reads_back_in_pillow_with_y_upward_and_its_scale() -> None:
    depth = np.zeros((3, 5))
    depth[0, 0], depth[2, 4], depth[1, 2] = 18.0, 9.0, 17.98
    image = Image.open(BytesIO(map_png(depth, 0.5, 18.0)))
    pixels = np.asarray(image)
    assert (image.size, image.mode) == ((5, 3), "L")
    assert image.info["dpi"] == pytest.approx((50.8, 50.8))  # two cells a mm
    assert (pixels[2, 0], pixels[0, 4], pixels[1, 2]) == (0, round((LIGHT + DARK) / 2), DARK)
    assert pixels[0, 0] == LIGHT
