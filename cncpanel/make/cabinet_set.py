"""The whole cabinet among a job's files: 3D, exploded, its section, and what the report tells of it."""

from collections.abc import Mapping
from dataclasses import dataclass

from cncpanel.cabinet.derive import Whole
from cncpanel.cabinet.fit import fit_findings
from cncpanel.cabinet.scene import scene
from cncpanel.cabinet.suits import suits_findings
from cncpanel.drawing.cabinet_view import cabinet_view
from cncpanel.drawing.section import CabinetShown, section_drawing, section_picture
from cncpanel.output.cabinet_html import cabinet_page
from cncpanel.output.dxf import panel_dxf
from cncpanel.panel.panel import Panel

APART = 1.8  # times as far from the middle as built
WIDE, HIGH = 150.0, 180.0  # mm; the section's picture


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenCabinet:
    """Files by their path in the job's folder, and the report's part: what it tells, and a page within it."""

    files: Mapping[str, bytes]
    shown: CabinetShown
    page: str


def seen_cabinet(whole: Whole | None, panels: tuple[Panel, ...]) -> SeenCabinet | None:
    """All of it; None where the job has no cabinet."""
    if whole is None or whole.assembly is None:
        return None
    from cncpanel.make.model_flow import bodies  # late: the 3D library is for jobs that have a cabinet
    from cncpanel.output.gltf import glb

    found = scene(whole, panels)
    files = {
        "cabinet/cabinet.glb": glb(tuple(bodies(found, 1.0))),
        "cabinet/apart.glb": glb(tuple(bodies(found, APART))),
        "cabinet/section.dxf": panel_dxf(section_drawing(found)),
    }
    findings = (*fit_findings(found), *suits_findings(found))
    shown = CabinetShown(section=section_picture(found, WIDE, HIGH), findings=findings)
    return SeenCabinet(files=files, shown=shown, page=cabinet_page(cabinet_view(found)))
