"""Mistakes in what a job asks to be printed that no single key shows."""

from collections.abc import Iterator
from typing import Any

from cncpanel.errors import Gathering
from cncpanel.errors.toml import TomlFile
from cncpanel.job.paper import LARGEST_CORRECTION, LEAST_STEP, TemplateSettings
from cncpanel.job.paper_size import paper_size
from cncpanel.job.values import Values
from cncpanel.units import shown


def check_artwork(file: TomlFile, gathering: Gathering) -> None:
    """Tell of artwork without a spot colour's name, of a face printed twice, of hands that nobody named."""
    faces: set[tuple[int, str]] = set()
    for index, panel, number, artwork in _artworks(file.data):
        place = file.place(("panel", index, "artwork", number))
        if not file.value(("settings", "artwork", "spot")):
            text = "the cut line's spot colour has no name"
            gathering.problem(place, text, "settings.artwork.spot, as the printer asks for it")
        face = str(artwork.get("face", "show"))
        if (index, face) in faces:
            gathering.problem(place, f"the {face} face has artwork already", "one for each face")
        faces.add((index, face))
        if panel.get("mirrored") and panel.get("copies", 1) and "hand" not in artwork:
            text = "the panel has plain and mirrored copies, and no hand is named"
            gathering.problem(place, text, 'hand = "left" or "right": which the plain copies are')


def check_template(file: TomlFile, values: Values, gathering: Gathering) -> None:
    """Tell of a guide bush that its cutter does not go through, of an overlap that leaves nothing of a page."""
    bush, bit = (_millimetres(file.value(("settings", "template", key)), values) for key in ("bush", "bit"))
    if bush is not None and bit is not None and bush <= bit:
        place = file.place(("settings", "template", "bush"))
        gathering.problem(place, "the cutter does not go through the guide bush", f"over {shown(bit, values.unit)}")
    _check_overlap(file, values, gathering)


def _check_overlap(file: TomlFile, values: Values, gathering: Gathering) -> None:
    """A page smaller than the standard ones may show too little."""
    default = TemplateSettings()
    written = [file.value(("settings", "template", key)) for key in ("paper", "margin", "overlap")]
    given = [_millimetres(length, values) for length in written[1:]]
    margin = default.margin if given[0] is None else given[0]
    overlap = default.overlap if given[1] is None else given[1]
    try:
        paper = paper_size(str(written[0] or "A4"))
    except ValueError:
        return
    most = min(paper.width, paper.height) / LARGEST_CORRECTION - 2 * margin - LEAST_STEP
    if overlap > most:
        place = file.place(("settings", "template", "overlap"))
        text = f"an overlap of {shown(overlap, values.unit)} leaves too little of this page"
        gathering.problem(place, text, f"at most {shown(max(most, 0.0), values.unit)}, or larger paper")


def _millimetres(written: object, values: Values) -> float | None:
    """A length that may be wrong or missing; None where it is (told with its key)."""
    try:
        found = values.length(written)
    except ValueError:
        return None
    return found if isinstance(found, float) else None


def _artworks(data: dict[str, Any]) -> Iterator[tuple[int, dict[str, Any], int, dict[str, Any]]]:
    panels = data.get("panel")
    for index, panel in enumerate(panels if isinstance(panels, list) else ()):
        asked = panel.get("artwork") if isinstance(panel, dict) else None
        for number, artwork in enumerate(asked if isinstance(asked, list) else ()):
            if isinstance(artwork, dict):
                yield index, panel, number, artwork
