"""What the file accepts and the checks no longer find: told, so that an old reason does not hide a new fault."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from harness_studio.base.errors import nearest
from harness_studio.model.entities import Accepted

from .faults import fault
from .finding import Finding, finding
from .rules import RULES
from .scope import Scope

ACCEPTED_GONE = "accepted_gone"
FAILED = "check_failed"
_OF = {name: rule for rule, known in RULES.items() for name in (rule, *known.also)}
"""By what findings bear, the rule that yields them."""


def gone(scope: Scope, raw: Collection[Finding]) -> Iterator[Finding]:
    """Yield the acceptances of the file that match no finding.

    Nothing is said of what could not have been found: where a mode was left out or has no solution, and of a rule that
    broke down.
    """
    accepted = scope.harness.tables["accepted"]
    if not accepted:
        return
    found = {one.key for one in raw}
    failed = {one.ids[0] for one in raw if one.rule == FAILED and one.ids}
    for entry in accepted.values():
        name = entry.id.partition("/")[0]
        rule = _OF.get(name)
        if entry.id in found or name == FAILED:
            continue
        if rule is None or (scope.whole and rule not in failed):
            yield _told(entry, name, known=rule is not None)


def _told(entry: Accepted, name: str, *, known: bool) -> Finding:
    day = f", {entry.date}" if entry.date else ""
    if known:
        why = f"'{fault(name)}' is not found there any more"
    else:
        near = nearest(name, [*_OF])
        why = f"there is no rule '{name}'" + (f"; nearest is '{near}'" if near else "")
    about = entry.id.partition("/")[2]
    return finding(
        ACCEPTED_GONE,
        "note",
        [entry.id, about] if about else [entry.id],
        f"{entry.id} was accepted because {entry.reason}{day}, but {why}",
        source="accepted in the project file",
        method="as recorded",
        remedy="remove it: with 'Remove it' beside the finding in the window, or its line under 'accepted' in the file",
    )
