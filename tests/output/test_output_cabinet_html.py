"""The cabinet's page in a browser: turned, taken apart, cut through, its parts told under the pointer."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from browsing import Browser, opened

from cncpanel.make.model_flow import model_bytes

HOVER = """
const canvas = document.getElementById('picture'), box = canvas.getBoundingClientRect();
const under = (right, down) => {
  canvas.dispatchEvent(new PointerEvent('pointermove',
    {clientX: box.left + right * box.width, clientY: box.top + down * box.height, bubbles: true}));
  return document.getElementById('told').textContent;
};
"""
NET = """
const found = new Set();
for (let i = 0; i < 100; i++) for (let j = 0; j < 140; j++) found.add(under(i / 100, j / 140).split(',')[0]);
return [...found];
"""


@pytest.fixture(scope="module")
def page(fixtures: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    folder = tmp_path_factory.mktemp("cabinet")
    path = folder / "millrace.html"
    path.write_bytes(model_bytes(fixtures / "cabinets" / "millrace.toml", path, 1.0))
    text = path.read_text(encoding="utf-8")
    assert "http://" not in text
    assert "https://" not in text
    with opened(path, folder / "profile", ready="return document.documentElement.dataset.ready === 'yes'") as browser:
        yield browser


def under(page: Browser, right: float, down: float) -> str:
    return str(page.run(HOVER + "return under(arguments[0], arguments[1])", right, down))


def names(page: Browser) -> set[str]:
    """Everything that the pointer meets on a net of places."""
    return set(page.run(HOVER + NET)) - {""}


def settled(page: Browser) -> None:
    page.chrome.execute_async_script("setTimeout(arguments[0], 600)")


def test_a_panel_under_the_pointer_tells_its_name_size_and_mass(page: Browser) -> None:
    page.key("2")
    settled(page)
    assert under(page, 0.5, 0.72) == "coin door tall at (302, 405) on lower front, takes up 206 x 140 x 286 mm, 4.0 kg"
    assert {"lower front", "screen bezel", "control deck", "nose rail"} <= names(page)
    assert under(page, 0.01, 0.01) == ""


def test_a_cut_down_the_middle_lays_open_what_is_inside(page: Browser) -> None:
    page.key("3")
    settled(page)
    assert names(page) == {"side (left)"}
    page.pick("cut", "along the middle")
    settled(page)
    inside = names(page)
    page.pick("cut", "none")
    assert "side (left)" not in inside
    assert {"shelf", "bottom", "monitor plate", "coin box", "back door"} <= inside


def test_taken_apart_it_shows_what_was_hidden_and_hiding_a_kind_takes_it_away(page: Browser) -> None:
    page.key("1")
    settled(page)
    whole = names(page)
    page.key("e")
    settled(page)
    apart = names(page)
    assert "shelf" not in whole
    assert {"shelf", "back rail", "left cleat of top"} <= apart
    page.run("document.getElementById('kind-cleat').click()")
    settled(page)
    assert not any("cleat" in name for name in names(page))
    page.key("a", "e")


def test_the_keys_choose_parts_one_after_the_other(page: Browser) -> None:
    page.key("Escape", "n")
    assert page.text("told").startswith("side (left), 620 x 1600 x 18 mm, 9.2 kg")
    page.key("n", "n")
    assert page.text("told").startswith("bottom, 615 x 464 x 18 mm")
    page.key("Escape")
    assert page.text("told") == ""


def test_the_picture_has_shades_in_the_light_and_in_the_dark_and_nothing_is_complained_of(page: Browser) -> None:
    settled(page)
    light = page.colours("picture")
    page.key("d")
    settled(page)
    assert light > 6
    assert page.colours("picture") > 6
    page.key("d")
    assert page.complaints() == []
