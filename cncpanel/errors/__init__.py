"""What can be wrong, and where: three kinds kept apart.

    CncpanelError                the root; only the user's input raises it
        ProblemsFound            one or more Problems, gathered: exit code 2

What the proof finds is a value (`proof.finding.Finding`, exit code 1). Our own faults stay tracebacks.
"""

from cncpanel.errors.problem import CncpanelError, Gathering, Place, Problem, ProblemsFound

__all__ = ["CncpanelError", "Gathering", "Place", "Problem", "ProblemsFound"]
