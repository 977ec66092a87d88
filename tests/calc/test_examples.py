"""No worked example is left unread by either language."""

import re
from pathlib import Path

from tests.calc.worked import EXAMPLES

TESTS = Path(__file__).parents[1]


def groups_in_the_files():
    """(file, group) of every list of examples there is."""
    opening = re.compile(r'^  "(\w+)": \[$', re.MULTILINE)
    return {
        (file.stem, group)
        for file in EXAMPLES.glob("*.json")
        for group in opening.findall(file.read_text(encoding="utf-8"))
    }


def test_the_server_reads_every_list_of_examples():
    read = {
        (name, group or "cases")
        for file in TESTS.rglob("test_*.py")
        for name, group in re.findall(r'examples\("(\w+)"(?:, "(\w+)")?\)', file.read_text(encoding="utf-8"))
    }
    assert groups_in_the_files() == read


def test_the_phone_reads_every_list_of_examples():
    read = set()
    for file in (TESTS / "phone").rglob("*.test.ts"):
        text = file.read_text(encoding="utf-8")
        for variable, name in re.findall(r'import (\w+) from "[./]+/fixtures/calc/(\w+)\.json"', text):
            read |= {(name, group) for group in re.findall(rf"\beach\({variable}\.(\w+)", text)}
    assert groups_in_the_files() == read
