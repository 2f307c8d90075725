"""What rims get: listed for the bench, or as not made yet by the machine."""

from cncpanel.job.model import Edge
from cncpanel.panel.draft import Draft
from cncpanel.panel.subject import Subject

_FACES = {"show": "on the show face", "back": "on the back face", "both": "on both faces"}


def edges(draft: Draft) -> tuple[str, ...]:
    """A sentence for each rim worked at the bench; those left to the machine go to the draft's `unmade`."""
    bench = []
    for number, edge in enumerate(draft.panel.edge):
        _judge(edge, number, draft)
        if edge.bench:
            bench.append(sentence(edge, draft.subject))
        else:
            draft.unmade.append(
                f"edge[{number}]: {sentence(edge, draft.subject)}: rim profiles are not cut by the machine"
            )
    return tuple(bench)


def sentence(edge: Edge, subject: Subject) -> str:
    """What is to be done to the rim, and where."""
    side = f"{edge.side} edge" if edge.side else "all edges"
    form = f"round {subject.length(edge.round)}" if edge.round is not None else f"bevel {edge.bevel_deg:g} deg"
    return f"{side}: {form} {_FACES[edge.faces]}"


def _judge(edge: Edge, number: int, draft: Draft) -> None:
    """A rounding takes its radius off the thickness, on both faces twice."""
    room = draft.stock.thinnest / (2 if edge.faces == "both" else 1)
    if edge.round is not None and edge.round > room:
        text = f"rounding {draft.subject.length(edge.round)} is more than the board has room for {_FACES[edge.faces]}"
        draft.subject.problem(text, f"at most {draft.subject.length(room)}", "edge", number, "round")
