"""A test of the tests: rules with one comparison or sign turned round, and whether the cases notice.

Constructed, no published source. A mutant that no case notices marks a boundary that no case sits beside.
"""

import ast
import importlib
import types
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from harness_studio.checks import rules
from harness_studio.checks.rules import RULES, Rule
from harness_studio.checks.runner import settled
from harness_studio.checks.scope import Scope, scope_of
from tests.unit.checks.all_cases import CASES, Case
from tests.unit.checks.harnesses import sound

pytestmark = pytest.mark.slow

FILES = (
    "books", "contacts", "doubtful", "drop", "fuse_load", "fuse_wire", "grounds", "heat", "safety", "safety_doubts",
    "stacks", "trailer",
    "unfused",
)  # fmt: skip
LEAST_NOTICED = 0.75

TURNED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
}  # fmt: skip


class _Turn(ast.NodeTransformer):
    """Turns the n-th comparison or and/or of a module round; `seen` counts them."""

    def __init__(self, number: int) -> None:
        self.number, self.seen, self.line = number, 0, 0

    def _mine(self, node: ast.expr) -> bool:
        self.seen += 1
        if self.seen - 1 == self.number:
            self.line = node.lineno
            return True
        return False

    def visit_While(self, node: ast.While) -> ast.AST:
        return node  # a search that forgets where it was would not end

    def visit_Compare(self, node: ast.Compare) -> ast.AST:
        self.generic_visit(node)
        if self._mine(node):
            node.ops[0] = TURNED[type(node.ops[0])]()
        return node

    def visit_BoolOp(self, node: ast.BoolOp) -> ast.AST:
        self.generic_visit(node)
        if self._mine(node):
            node.op = ast.And() if isinstance(node.op, ast.Or) else ast.Or()
        return node


@cache
def source(name: str) -> str:
    found = importlib.import_module(f"{rules.__name__}.{name}").__file__
    assert found is not None
    with open(found, encoding="utf-8") as file:
        return file.read()


def mutants(name: str) -> Iterator[tuple[int, dict[str, Rule]]]:
    """Yield (line, the rules of the file as the mutant has them)."""
    real = importlib.import_module(f"{rules.__name__}.{name}")
    counted = _Turn(-1)
    counted.visit(ast.parse(source(name)))
    for number in range(counted.seen):
        turn = _Turn(number)
        tree = ast.fix_missing_locations(turn.visit(ast.parse(source(name))))
        module = types.ModuleType(real.__name__)
        module.__package__ = rules.__name__
        try:
            exec(compile(tree, real.__name__, "exec"), module.__dict__)
        except Exception:
            continue  # it would not even load
        yield turn.line, {key: _moved(rule, module) for key, rule in RULES.items() if _lives_in(rule, real)}


def _function(rule: Rule) -> types.FunctionType:
    found = rule.of_harness or rule.of_state
    assert isinstance(found, types.FunctionType)
    return found


def _lives_in(rule: Rule, module: types.ModuleType) -> bool:
    return _function(rule).__module__ == module.__name__


def _moved(rule: Rule, module: types.ModuleType) -> Rule:
    field = "of_harness" if rule.of_harness else "of_state"
    return replace(rule, **{field: getattr(module, _function(rule).__name__)})


@cache
def scope(case: Case) -> Scope:
    harness = sound()
    case.change(harness)
    return scope_of(harness)


def content(case: Case, rule: Rule) -> bool:
    """Tell whether a rule finds in a case what was written down."""
    raw = []
    try:
        if rule.of_harness:
            raw = list(rule.of_harness(scope(case)))
        elif rule.of_state:
            raw = [replace(f, mode=s.mode) for s in scope(case).states for f in rule.of_state(scope(case), s)]
    except Exception:
        return False
    return case.content(settled(raw, {}, fold=False))


@pytest.mark.parametrize("name", FILES)
def test_cases_notice_rules_that_are_turned_round(name: str) -> None:
    survived, count = [], 0
    for line, turned in mutants(name):
        count += 1
        concerned = [case for case in CASES if case.rule in turned]
        if all(content(case, turned[case.rule]) for case in concerned):
            survived.append(line)
    assert count > 0
    noticed = 1.0 - len(survived) / count
    print(f"{name}: {count} mutants, {noticed:.0%} noticed; not noticed in lines {survived}")
    assert noticed >= LEAST_NOTICED, f"{name}: only {noticed:.0%} of {count} noticed; not: lines {survived}"


def test_every_file_of_rules_is_turned_round() -> None:
    used = {_function(rule).__module__.rpartition(".")[2] for rule in RULES.values()}
    assert used == set(FILES)


@pytest.mark.parametrize("rule", RULES)
def test_a_rule_that_finds_nothing_is_noticed(rule: str) -> None:
    silent = replace(
        RULES[rule], **{("of_harness" if RULES[rule].of_harness else "of_state"): lambda *_: iter(())}
    )
    assert not all(content(case, silent) for case in CASES if case.rule == rule)
