"""Findings kept between edits: a rule looks again only where what it reads has changed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from harness_studio.base.changes import Changes
from harness_studio.model.entities import Accepted

from .finding import Finding
from .gone import gone
from .rules import RULES, Rule
from .runner import look, look_at, settled
from .scope import Scope


class Memory:
    """The raw findings of each rule, by mode where it judges modes.

    A rule reads the sections it names; one that judges a solved mode is looked at again when that mode has another
    solution. What the user accepts changes nothing but how findings are told.
    """

    def __init__(self, rules: Mapping[str, Rule] | None = None) -> None:
        self._rules = RULES if rules is None else rules
        self._of_harness: dict[str, list[Finding]] = {}
        self._of_state: dict[tuple[str, str | None], tuple[Any, list[Finding]]] = {}
        self.looked: list[str] = []

    def check(self, scope: Scope, changes: Changes | None = None) -> tuple[Finding, ...]:
        """Return the findings of a harness that differs from the last one by `changes` (None: by anything).

        `looked` names the rules that were run.
        """
        touched = None if changes is None else {section for section, _ in changes.refs}
        self.looked = []
        raw: list[Finding] = []
        for name, rule in self._rules.items():
            raw.extend(self._one(scope, name, rule, touched))
        if self._rules is RULES:
            raw.extend(gone(scope, raw))
        return settled(raw, self._accepted(scope))

    def _accepted(self, scope: Scope) -> Mapping[str, Accepted]:
        return scope.harness.tables["accepted"]

    def _one(self, scope: Scope, name: str, rule: Rule, touched: set[str] | None) -> Iterable[Finding]:
        again = touched is None or not touched.isdisjoint(rule.sections)
        if rule.of_harness is not None:
            if again or name not in self._of_harness:
                self.looked.append(name)
                self._of_harness[name] = look(scope, name, rule)
            return self._of_harness[name]
        found: list[Finding] = []
        for state in scope.states:
            known = self._of_state.get((name, state.mode))
            if again or known is None or known[0] is not state.solution:
                self.looked.append(name)
                known = self._of_state[name, state.mode] = state.solution, look_at(scope, name, rule, state)
            found.extend(known[1])
        return found
