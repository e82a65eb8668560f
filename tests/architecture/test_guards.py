"""The guards of tests/conftest.py do stop what they are there to stop."""

from pathlib import Path

import pytest

from tests.architecture.tree import read

CASES = """
    import logging, os, warnings
    from pathlib import Path
    import pytest

    def test_logs_an_error(): logging.getLogger("x").error("unlooked")
    def test_expects_an_error(expected_logs):
        logging.getLogger("x").error("looked for")
        assert [r.getMessage() for r in expected_logs] == ["looked for"]
    def test_informs(): logging.getLogger("x").info("fine")
    def test_warns(): warnings.warn("unlooked", UserWarning)
    def test_home(): assert str(Path.home()) == os.environ["HOME"] and "home" in Path.home().name
    def test_no_screen(): assert os.environ["QT_QPA_PLATFORM"] == "offscreen"
    def test_lacks_ngspice(): pytest.skip("ngspice is not here")
    def test_lacks_samples(samples_dir): pass
"""


@pytest.mark.parametrize(("ci", "skipped", "failed"), [("", 2, 1), ("true", 1, 2)])
def test_guards(
    pytester: pytest.Pytester, monkeypatch: pytest.MonkeyPatch, ci: str, skipped: int, failed: int
) -> None:
    monkeypatch.setenv("CI", ci)
    monkeypatch.delenv("HARNESS_SAMPLES", raising=False)
    pytester.makeconftest(read(Path("tests/conftest.py")))
    pytester.makepyfile(CASES)
    done = pytester.runpytest_subprocess("-W", "error", "-p", "no:xdist", "-p", "no:cacheprovider")
    done.assert_outcomes(passed=5, skipped=skipped, failed=failed, errors=1)
    stopped = ["ERROR *::test_logs_an_error*", "FAILED *::test_warns*"]
    done.stdout.fnmatch_lines_random(stopped + ["FAILED *::test_lacks_ngspice*"] * bool(ci))
