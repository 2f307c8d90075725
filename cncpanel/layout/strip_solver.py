"""Packs a strip in a process of its own: the library cannot be stopped once it runs, and a report count must stop it.

Reads one request as JSON from standard input, writes one answer as JSON to standard output. Run with `python -m`.
"""

import json
import os
import sys
import threading
from time import process_time, sleep
from typing import Any

import spyrrow

ENDLESS = 1_000_000  # s; the count of reports ends it, never a clock, so that equal requests have equal answers
PAUSE = 0.002  # s between looks at what the solver reported
FEASIBLE = (spyrrow.ReportType.ExplFeas, spyrrow.ReportType.CmprFeas, spyrrow.ReportType.Final)

HOPELESS = (
    (20, 1.15),
    (40, 1.08),
    (80, 1.04),
    (160, 1.015),
)  # after so many reports, so many times too long: given up (measured)

Answer = dict[str, Any]


def main() -> None:
    """Answer the request and end at once, whatever the solver is doing."""
    answer = solved(json.load(sys.stdin))
    sys.stdout.write(json.dumps(answer))
    sys.stdout.flush()
    os._exit(0)


def solved(request: dict[str, Any]) -> Answer:
    """The shortest strip within the request's reports, or the first that is no longer than its target.

    `busy_s`, of the processor's seconds, caps it in place of a count where speed itself is measured.
    """
    items = [
        spyrrow.Item(str(i), [tuple(p) for p in item["shape"]], item["demand"], item["angles"])
        for i, item in enumerate(request["items"])
    ]
    instance = spyrrow.StripPackingInstance("strip", request["height"], items)
    config = spyrrow.StripPackingConfig(
        total_computation_time=None,
        exploration_time=ENDLESS,
        compression_time=ENDLESS,
        num_workers=request["workers"],
        seed=request["seed"],
    )
    queue = spyrrow.ProgressQueue()
    solver = threading.Thread(target=instance.solve, args=(config, queue), daemon=True)
    solver.start()
    return _best(queue, solver, request["reports"], request.get("target"), request.get("busy_s"))


def _best(
    queue: spyrrow.ProgressQueue,
    solver: threading.Thread,
    most: int | None,
    target: float | None,
    busy_s: float | None,
) -> Answer:
    answer: Answer = {"length": None, "placed": [], "reports": 0}
    parent = os.getppid()
    while os.getppid() == parent:  # whoever asked may have been killed
        running = solver.is_alive()
        for kind, solution in queue.drain():
            answer["reports"] += 1
            if kind in FEASIBLE and (answer["length"] is None or solution.width < answer["length"]):
                answer["length"] = solution.width
                answer["placed"] = [(int(p.id), p.rotation, *p.translation) for p in solution.placed_items]
            if answer["reports"] == most or (target is not None and _is_settled(answer, target)):
                return answer
        if not running or (busy_s is not None and process_time() > busy_s):
            return answer
        sleep(PAUSE)
    return answer


def _is_settled(answer: Answer, target: float) -> bool:
    """Whether the strip is short enough, or so much too long that it will hardly become so."""
    if answer["length"] is None:
        return False
    excess = answer["length"] / target
    return bool(excess <= 1) or any(answer["reports"] >= count and excess > most for count, most in HOPELESS)


if __name__ == "__main__":
    main()
