"""The searches that a course gives as practice: searches.toml, which a course may have or not.

    [[searches]]
    seed = 101
    level = 1
    family = "cells"        # "" or left out: all families mixed
"""

from __future__ import annotations

from pvsim.array.scatter import MOST_SEED
from pvsim.course.lesson.step_search import SetSearch
from pvsim.course.table import Table
from pvsim.errors import PvsimError
from pvsim.field.search.case import LEVELS, search_case
from pvsim.field.search.family import FAMILIES

__all__ = ["MOST_SEARCHES", "SEARCHES_FILE", "read_searches"]

SEARCHES_FILE = "searches.toml"
MOST_SEARCHES = 60


def read_searches(top: Table) -> tuple[SetSearch, ...]:
    """Read the file; problems go to its report."""
    tables = top.tables("searches")
    if not 1 <= len(tables) <= MOST_SEARCHES:
        top.refuse(
            "searches",
            f"the set has {len(tables)} searches",
            expected=f"1 to {MOST_SEARCHES} [[searches]] tables",
        )
    found: list[SetSearch] = []
    for table in tables[:MOST_SEARCHES]:
        told = len(table.report.problems)
        one = SetSearch(
            seed=table.whole("seed", least=0, most=MOST_SEED),
            level=table.whole("level", least=min(LEVELS), most=max(LEVELS)),
            family=table.word("family", tuple(FAMILIES), default=""),
        )
        table.close()
        if len(table.report.problems) > told:
            continue
        try:
            search_case(one.seed, one.level, one.family)
        except PvsimError as error:
            table.report.take_over(table.path, error)
            continue
        if one in found:
            table.refuse(
                "seed",
                f"search {one.seed} of level {one.level} is there before",
                expected="each search once",
                mend="Give it another number",
            )
        found.append(one)
    top.close()
    return tuple(found)
