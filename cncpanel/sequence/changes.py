"""Which tool cuts when: as few changes as what must come first allows, and then outlines late."""

from collections.abc import Sequence

from cncpanel.sequence.chain import OUTLINE, Chain

WIDTH = 200  # states kept a level; a rack's tools seldom give more than a dozen


def tool_groups(work: Sequence[Chain], before: Sequence[int]) -> tuple[tuple[int, ...], ...]:
    """Indexes of `work` in groups of one tool each, in cutting order."""
    tools = _fewest(work, before)
    group = _earliest(work, before, tools)
    _put_off_outlines(work, before, tools, group)
    return tuple(members for number in range(len(tools)) if (members := _members(group, number)))


def _members(group: Sequence[int], number: int) -> tuple[int, ...]:
    return tuple(index for index, its in enumerate(group) if its == number)


def _cut_all(work: Sequence[Chain], before: Sequence[int], done: int, tool: int) -> int:
    """What is done after `tool` has cut everything it may."""
    for index, chain in enumerate(work):
        if chain.tool == tool and not before[index] & ~done:
            done |= 1 << index
    return done


def _fewest(work: Sequence[Chain], before: Sequence[int]) -> tuple[int, ...]:
    """The shortest row of tools that cuts all; among equals the one that begins with the earlier stages."""
    whole = (1 << len(work)) - 1
    wanted = list(dict.fromkeys(chain.tool for chain in work))
    level: dict[int, tuple[int, ...]] = {0: ()}
    while whole not in level:
        following: dict[int, tuple[int, ...]] = {}
        for done, row in level.items():
            for tool in wanted:
                after = _cut_all(work, before, done, tool)
                if after != done:
                    following.setdefault(after, (*row, tool))
        kept = sorted(following, key=lambda done: -done.bit_count())[:WIDTH]
        level = {done: row for done, row in following.items() if done in set(kept)}
    return level[whole]


def _earliest(work: Sequence[Chain], before: Sequence[int], tools: Sequence[int]) -> list[int]:
    group, done = [0] * len(work), 0
    for number, tool in enumerate(tools):
        after = _cut_all(work, before, done, tool)
        for index in range(len(work)):
            if (after & ~done) >> index & 1:
                group[index] = number
        done = after
    return group


def _put_off_outlines(work: Sequence[Chain], before: Sequence[int], tools: Sequence[int], group: list[int]) -> None:
    """Move each outline to the last turn of its tool that what follows it allows."""
    latest = [len(tools) - 1] * len(work)
    for index in range(len(work) - 1, -1, -1):
        chain = work[index]
        if chain.stage == OUTLINE:
            turns = [n for n, tool in enumerate(tools) if tool == chain.tool and n <= latest[index]]
            group[index] = turns[-1]
        for other in range(index):
            if before[index] >> other & 1:
                latest[other] = min(latest[other], group[index])
