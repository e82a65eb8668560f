"""All cases of the rules; importing their files enters them in the book."""

from tests.unit.checks import (
    cases_boundaries,
    cases_contacts_and_grounds,
    cases_heat_and_drop,
    cases_more_boundaries,
    cases_protection,
    cases_returns_and_cranking,
    cases_safety_and_books,
)
from tests.unit.checks.case_book import CASES, W1, Case

FILES = (
    cases_heat_and_drop,
    cases_protection,
    cases_contacts_and_grounds,
    cases_safety_and_books,
    cases_boundaries,
    cases_more_boundaries,
    cases_returns_and_cranking,
)
__all__ = ["CASES", "FILES", "W1", "Case"]
