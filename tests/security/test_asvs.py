"""docs/asvs.md is whole, and names tests that exist."""

import re
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
DOCUMENT = (CHECKOUT / "docs" / "asvs.md").read_text()
# The 70 requirements of level 1 in OWASP ASVS 5.0.0.
LEVEL_1 = """
1.2.1 1.2.2 1.2.3 1.2.4 1.2.5 1.3.1 1.3.2 1.5.1 2.1.1 2.2.1 2.2.2 2.3.1 3.2.1 3.2.2 3.3.1 3.4.1 3.4.2 3.5.1 3.5.2 3.5.3
4.1.1 4.4.1 5.2.1 5.2.2 5.3.1 5.3.2 6.1.1 6.2.1 6.2.2 6.2.3 6.2.4 6.2.5 6.2.6 6.2.7 6.2.8 6.3.1 6.3.2 6.4.1 6.4.2 7.2.1
7.2.2 7.2.3 7.2.4 7.4.1 7.4.2 8.1.1 8.2.1 8.2.2 8.3.1 9.1.1 9.1.2 9.1.3 9.2.1 10.4.1 10.4.2 10.4.3 10.4.4 10.4.5 11.3.1
11.3.2 11.4.1 12.1.1 12.2.1 12.2.2 13.4.1 14.2.1 14.3.1 15.1.1 15.2.1 15.3.1
"""
NUMBER = re.compile(r"\b\d{1,2}\.\d\.\d{1,2}\b")


def rows() -> list[list[str]]:
    table = DOCUMENT.split("## Level 1")[1].split("### Deviations")[0]
    return [line.strip("|").split("|") for line in table.splitlines() if re.match(r"\| \d", line)]


def numbers(text: str) -> list[str]:
    return NUMBER.findall(text)


def level_2() -> tuple[list[str], list[str]]:
    part = DOCUMENT.split("## Level 2")[1].split("## What stands")[0]
    met, deviating = part.split("### Deviations at level 2")
    return numbers(met), numbers(" ".join(re.findall(r"\*\*(.+?)\*\*", deviating)))


def test_every_requirement_of_level_1_has_its_line_once() -> None:
    wanted = numbers(LEVEL_1)
    assert len(wanted) == 70
    assert [number for row in rows() for number in numbers(row[0])] == wanted


def test_every_line_that_applies_says_how_it_is_met_and_names_a_test_or_why_there_is_none() -> None:
    told_in_words = {"12.2.2", "15.1.1", "15.2.1"}  # what no test of a program can see
    for number, _wanted, how, test in rows():
        assert how.strip()
        assert "`tests/" in test or how.strip().startswith("n/a") or set(numbers(number)) <= told_in_words, (
            number
        )


def test_every_deviation_has_its_reason() -> None:
    marked = {number for row in rows() if "◊" in row[1] for number in numbers(row[0])}
    reasons = DOCUMENT.split("### Deviations at level 1")[1].split("## Level 2")[0]
    assert marked == {n for bold in re.findall(r"\*\*(.+?)\*\*", reasons) for n in numbers(bold)}


def test_every_test_and_file_named_exists() -> None:
    named = re.findall(r"`((?:tests|harvestlog)/[\w/.]+)`", DOCUMENT)
    assert len(named) > 50
    assert [path for path in named if not (CHECKOUT / path).exists()] == []


def test_the_counts_are_those_of_the_lists() -> None:
    applies_not = sum(len(numbers(row[0])) for row in rows() if row[2].strip().startswith("n/a"))
    deviating = sum(len(numbers(row[0])) for row in rows() if "◊" in row[1])
    met = len(numbers(LEVEL_1)) - applies_not - deviating
    assert f"{applies_not} do not apply, {met} are met, {deviating} are met with a deviation" in DOCUMENT
    met_2, deviating_2 = level_2()
    assert len(set(met_2 + deviating_2)) == len(met_2 + deviating_2), "a number stands twice"
    whole, share = len(met_2) + len(deviating_2), 100 * len(met_2) // (len(met_2) + len(deviating_2))
    told = f"{whole} looked at, {len(met_2)} met ({share} %), {len(deviating_2)} deviations"
    assert told in DOCUMENT.replace("\n", " "), told
    assert share >= 90
