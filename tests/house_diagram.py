"""The diagram of the house in DEVELOPERS.md, drawn from who imports whom.

    python -m tests.house_diagram    # draws it anew

A node is a package: those of `assignments` and `rhythms`, and as one each the engine, notation and
`studio`. Single modules beside the packages are left out, and so is an arrow where a way over
others leads there too.
"""

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

import grimp

ROOT = Path(__file__).resolve().parent.parent
DEVELOPERS = ROOT / "DEVELOPERS.md"
GROUPS = ("assignments", "rhythms")
#: Shown as one node, whatever is in them.
WHOLE = ("rhythms.engine", "rhythms.notation", "studio")
PLACE = re.compile(r"(?<=<!-- the house -->\n).*?(?=<!-- end -->)", re.DOTALL)

IN_A_LINE = 4

Arrows = Mapping[str, set[str]]


def batched(items: Sequence[str], size: int) -> list[Sequence[str]]:
    """The items in lists of this size, the last one shorter."""
    return [items[start : start + size] for start in range(0, len(items), size)]


def packages() -> list[str]:
    """The nodes, by their import path."""
    folders = (path.parent for group in GROUPS for path in (ROOT / group).glob("*/__init__.py"))
    names = (".".join(folder.relative_to(ROOT).parts) for folder in folders)
    hidden = {"management", "migrations"}
    return sorted({*WHOLE, *(name for name in names if name.split(".")[-1] not in hidden)})


def arrows() -> dict[str, set[str]]:
    """What each package imports of the others."""
    graph = grimp.build_graph("studio", *GROUPS)
    nodes = packages()

    def package_of(module: str) -> str | None:
        return next((node for node in nodes if f"{module}.".startswith(f"{node}.")), None)

    found: dict[str, set[str]] = {node: set() for node in nodes}
    for module in graph.modules:
        importer = package_of(module)
        for imported in graph.find_modules_directly_imported_by(module):
            target = package_of(imported)
            if importer and target and importer != target:
                found[importer].add(target)
    return found


def without_detours(all_arrows: Arrows) -> dict[str, set[str]]:
    """The arrows that no way over other packages replaces. Packages import one way."""

    def reached_from(start: str) -> set[str]:
        return all_arrows[start].union(*map(reached_from, all_arrows[start]))

    return {
        node: targets - set().union(*map(reached_from, targets))
        for node, targets in all_arrows.items()
    }


def diagram() -> str:
    """The diagram, fenced as Mermaid's."""
    nodes = packages()
    lines = ["```mermaid", "flowchart TD"]
    for group in GROUPS:
        lines += [f"    subgraph {group}"]
        boxes = [f"{n}[{n.split('.')[-1]}]" for n in nodes if n.startswith(f"{group}.")]
        lines += [f"        {'; '.join(row)}" for row in batched(boxes, IN_A_LINE)]
        lines += ["    end"]
    lines += [f"    {node}" for node in nodes if not node.startswith(GROUPS)]
    for node, targets in without_detours(arrows()).items():
        lines += [f"    {node} --> {' & '.join(sorted(targets))}"] if targets else []
    return "\n".join([*lines, "```", ""])


if __name__ == "__main__":
    DEVELOPERS.write_text(PLACE.sub(lambda _: diagram(), DEVELOPERS.read_text()))
