"""The kerf that is opened beside a rim of the other face before its wall is cut: room for the tool's end.

Small ends of form tools hardly cut, and a bearing cuts nothing: so the wall's own tool goes before them, as deep as
they go and a little more. The kerf is blind; the wall is cut through it after the sheet has been turned over.
"""

from collections.abc import Iterable

from cncpanel.operation.edge_layer import PAST_CORNER
from cncpanel.operation.operation import Clear, EdgeCut, Operation, Profile, SideKerf
from cncpanel.panel.edge import Edge

UNDER_END = 0.3  # mm that the kerf goes deeper than the tool's end, so that it rubs on nothing; own choice
SPARE = 0.2  # mm that it goes farther past a corner than the edge's tool; own choice


def opened_beside(edge: Edge, cut: EdgeCut, wall: Iterable[Operation]) -> SideKerf:
    """The kerf along the edge's stretch, by the tool that cuts the wall."""
    tool = next(one.tool for one in wall if one.feature == edge.rim and isinstance(one, Profile | Clear))
    return SideKerf(
        panel=cut.panel,
        feature=f"kerf for {edge.told}",
        edge=cut,
        depth=cut.depth + UNDER_END,
        past=max(PAST_CORNER, *(layer.offset for layer in cut.layers)) + SPARE,
        tool=tool,
    )
