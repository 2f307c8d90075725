"""The witness's own bites at relieved corners agree with the maker's, wherever the shape lies."""

from pathlib import Path

import pytest
import shapely

from cncpanel.errors import Gathering
from cncpanel.geometry.region import Region
from cncpanel.job.read import read_job
from cncpanel.panel.resolve import resolve
from cncpanel.wanted.feature import Drawn

JOB = """\
[job]
name = "Relief"
machine = "shop-router"
[[stock]]
name = "mdf"
material = "mdf"
thickness = 18
sheet = [1220, 610]
count = 1
[[panel]]
name = "p"
stock = "mdf"
size = [400, 300]
"""
FEATURES = (
    'recess = [{centre = [200, 150], size = [80, 50], depth = 5, relief = "%s"}]',
    'recess = [{at = [50, 40], size = [50, 80], turn_deg = 25, depth = 5, relief = "%s"}]',
    'opening = [{outline = [[220,150],[330,150],[330,200],[280,200],[280,250],[220,250]], relief = "%s"}]',
    'opening = [{outline = [[220,150],[220,250],[280,250],[300,200],[330,150]], at = [20, 20], relief = "%s"}]',
    'groove = [{path = [[60, 40], [60, 200], [300, 200]], width = 18, depth = 5, relief = "%s"}]',
    'groove = [{path = [[60, 40], {to = [200, 40], through = [130, 90]}], width = 18, depth = 5, relief = "%s"}]',
    'groove = [{path = [[60, 100], [200, 100], [150, 117]], width = 18, depth = 5, relief = "%s"}]',
    'groove = [{path = [[0, 40], [200, 140]], width = 18, depth = 5, wall = "left", relief = "%s"}]',
)


def flat(region: Region, pieces: int = 2000) -> shapely.Polygon:
    return shapely.Polygon([s.point_at(i / pieces) for s in region.outer.segments for i in range(pieces)])


@pytest.mark.parametrize("relief", ["none", "corner", "long", "short"])
@pytest.mark.parametrize("feature", FEATURES)
def test_both_roads_bite_the_same(tmp_path: Path, feature: str, relief: str) -> None:
    path = tmp_path / "relief.toml"
    path.write_text(JOB + feature % relief + "\n", encoding="utf-8")
    read = read_job(path)
    (panel,) = resolve(read, Gathering())
    regions = [*(Region(o.contour) for o in panel.openings), *(r.region for r in panel.recesses)]
    made = shapely.union_all([flat(region) for region in regions])
    (feature_wanted,) = Drawn(read, 0, {s.name: s for s in read.job.stock}).features()
    assert (
        made.symmetric_difference(feature_wanted.shape).area < 0.6
    )  # chords of 300 mm of arc within 0.001, and THROUGH; a bite is 5.8 mm2
