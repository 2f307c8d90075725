"""Every brief gives a cabinet with every check green, or says which wish cannot be met."""

from collections import Counter
from pathlib import Path
from random import Random

import pytest

from cncpanel.cabinet.brief import Brief
from cncpanel.errors import ProblemsFound
from cncpanel.errors.toml import TomlFile
from cncpanel.make.brief_flow import from_brief

FILE = TomlFile(path=Path("brief.toml"), shown="brief.toml", data={}, lines={})
MAY_NOT = ("tipping", "doorway")  # checks that a wish may run into; any other failure would be the form's own fault
FORMS = {"standing": ("upright", "pedestal"), "wall": ("wall box",), "table": ("table-top",), "seated": ("table-top",)}


def random_brief(random: Random) -> Brief:
    """Any wish at all, sensible or not."""
    use = random.choice(sorted(FORMS))
    wishes: dict[str, object] = {
        "name": f"wish {random.randrange(1000)}",
        "use": use,
        "form": random.choice(FORMS[use]),
        "screen": round(random.uniform(9, 34), 1),
        "aspect": random.choice(["16:9", "16:10", "4:3", "5:4", "21:9"]),
        "players": random.choice([1, 1, 2, 3]),
        "buttons": random.randint(0, 8),
        "sticks": random.random() < 0.3,
        "children": random.random() < 0.3,
        "board": {"thickness": random.choice([9, 12, 15, 18, 18, 19]), "material": random.choice(["mdf", "plywood"])},
    }
    if random.random() < 0.5:
        wishes["doorway"] = random.choice([600, 650, 700, 800, 900])
    return Brief.model_validate(wishes)


def told(brief: Brief) -> str:
    """`green`, or which wish cannot be met; a failure that is the form's own comes as it is."""
    try:
        _, judged = from_brief(brief, FILE, Path("kiosk.toml"))
    except ProblemsFound as found:
        for problem in found.problems:
            said = problem.text.removeprefix("cannot be met: ")
            assert said == problem.text or said.startswith(MAY_NOT), f"{brief!r}: {problem.text}"
        return "wish"
    assert all(finding.verdict != "fails" for finding in judged.findings)
    return "green"


def answers(count: int, seed: int) -> Counter[str]:
    random = Random(seed)
    return Counter(told(random_brief(random)) for _ in range(count))


def test_thirty_random_briefs() -> None:
    found = answers(30, seed=7)
    assert found["green"] >= 8


@pytest.mark.slow
def test_five_hundred_random_briefs() -> None:
    found = answers(500, seed=11)
    assert found["green"] >= 150
