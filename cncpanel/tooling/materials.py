"""Sheet materials: how heavy, how hard to cut, what to beware of."""

from dataclasses import dataclass

from cncpanel.job.density import DENSITY

PARTICLEBOARD = "particleboard-anchored"
"""Measured on particleboard: 32.0 and 37.6 N/mm2 at 40-60 m/s (B. Palubicki, Materials 2021, 14, 2208). No
figure for MDF or plywood was found, so panels take the middle, 35, and say so."""
FROM_MEMORY = "from memory, no source"

_DUST = "Dust: extraction always, vacuum instead of sweeping, FFP3 mask when close."
_HARDWOOD_DUST = "Dust counts as hardwood dust, whose limit is the lowest: see the national limit."
_THICKNESS = "Real thickness differs from its name: measure each sheet."
_EMBERS = "A tool that rubs makes embers, and they travel into the dust collector: look after stopping."


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """Densities kg/m3; `cutting_force` is the specific cutting force, N/mm2; `force_label` says whence."""

    name: str
    title: str
    density_min: float
    density: float
    density_max: float
    cutting_force: float
    force_label: str
    cautions: tuple[str, ...]

    def mass(self, length: float, width: float, thickness: float) -> float:
        """kg of a sheet of these mm, at its usual density."""
        return length * width * thickness * 1e-9 * self.density


_ALL = (
    Material(
        name="mdf",
        title="MDF",
        density_min=600,  # thin and light grades; IS 14587: 600-800
        density=DENSITY["mdf"],
        density_max=880,  # thin board
        cutting_force=35,
        force_label=PARTICLEBOARD,
        cautions=(_DUST, _HARDWOOD_DUST, _EMBERS, _THICKNESS),
    ),
    Material(
        name="particleboard",
        title="Particleboard",
        density_min=600,  # this and the next two from memory
        density=DENSITY["particleboard"],
        density_max=720,
        cutting_force=35,
        force_label="measured on particleboard: 32.0 to 37.6 N/mm2",
        cautions=(_DUST, _HARDWOOD_DUST, _EMBERS, _THICKNESS),
    ),
    Material(
        name="plywood",
        title="Plywood",
        density_min=450,  # softwood ply, from memory
        density=DENSITY["plywood"],
        density_max=750,
        cutting_force=35,
        force_label=PARTICLEBOARD,
        cautions=(_DUST, _HARDWOOD_DUST, _THICKNESS, "Face veneers splinter where an up-cut tool comes out."),
    ),
    Material(
        name="softwood",
        title="Softwood",
        density_min=350,  # from memory
        density=DENSITY["softwood"],
        density_max=600,
        cutting_force=35,  # "commonly 15-60", from memory
        force_label=FROM_MEMORY,
        cautions=(_DUST, "Moves with moisture; keep the grain's direction."),
    ),
    Material(
        name="hardwood",
        title="Hardwood",
        density_min=550,  # from memory
        density=DENSITY["hardwood"],
        density_max=900,
        cutting_force=60,  # upper end of "commonly 15-60", from memory
        force_label=FROM_MEMORY,
        cautions=(_DUST, _HARDWOOD_DUST, _EMBERS, "Moves with moisture; keep the grain's direction."),
    ),
    Material(
        name="acrylic",
        title="Acrylic",
        density_min=1170,  # cast and extruded sheet, from memory
        density=DENSITY["acrylic"],
        density_max=1200,
        cutting_force=100,  # from memory; a plastic of about 70 N/mm2 strength
        force_label=FROM_MEMORY,
        cautions=("A thin chip melts and welds to the tool.", "Keep the film on; scrape or flame the edges."),
    ),
)

MATERIALS = {material.name: material for material in _ALL}
"""Every material that a stock may be, by the name used in a job file."""
