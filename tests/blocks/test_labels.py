"""Label codes find every slip of one character and every swap of two neighbours."""

import itertools

import pytest

from harvestlog.blocks.labels import ALPHABET, LabelRefusal, is_label, make_label, read_label
from tests.calc.worked import examples


@pytest.mark.parametrize("case", examples("labels"))
def test_typed_label(case):
    result = read_label(case["text"])
    if "refuses" in case:
        assert isinstance(result, LabelRefusal), result
        assert result.code == case["refuses"]
        assert case.get("says", "") in result.sentence
    else:
        assert result == case["expect"]


@pytest.mark.parametrize("case", examples("labels", "made"))
def test_made_label(case):
    if "refuses" in case:
        with pytest.raises(ValueError, match="four numbers from 0 to 31"):
            make_label(case["values"])
    else:
        assert make_label(case["values"]) == case["expect"]


def test_every_wrong_character_and_every_swap_of_neighbours_is_found():
    # The check is linear: a slip goes unseen only if the change alone is the label of a change of nothing, so
    # labels that differ from 2222 in one or two values show every slip there can be.
    zero = make_label([0, 0, 0, 0])
    for place, character in itertools.product(range(5), ALPHABET):
        wrong = zero[:place] + character + zero[place + 1 :]
        assert is_label(wrong) == (character == zero[place])
    for place, one, other in itertools.product(range(4), ALPHABET, ALPHABET):
        label = _label_with(place, one, other)
        swapped = label[:place] + label[place + 1] + label[place] + label[place + 2 :]
        assert is_label(swapped) == (one == other)


def _label_with(place: int, one: str, other: str) -> str:
    """A label with these two characters side by side; at the end, a third value is turned until the check fits."""
    values = [0, 0, 0, 0]
    values[place] = ALPHABET.index(one)
    if place < 3:
        values[place + 1] = ALPHABET.index(other)
        return make_label(values)
    labels = (make_label([first, *values[1:]]) for first in range(32))
    return next(label for label in labels if label[4] == other)


def test_slips_in_labels_all_over_the_field_are_found():
    for values in itertools.product(range(0, 32, 5), repeat=4):
        label = make_label(values)
        for place, character in itertools.product(range(5), ALPHABET):
            wrong = label[:place] + character + label[place + 1 :]
            assert is_label(wrong) == (wrong == label)


def test_only_the_written_form_is_a_label():
    assert is_label("K7Q2L")
    assert not is_label("k7q2l")
    assert not is_label("K7Q-2L")
