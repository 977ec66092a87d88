"""Two of one name are told apart, and a name that stands alone is left alone."""

from uuid import UUID

from harvestlog.reports.names import Named, told_apart

A, B, C = UUID(int=1), UUID(int=2), UUID(int=3)


def test_a_name_that_stands_alone_is_left_alone() -> None:
    assert told_apart([Named(A, "Larches", "East road"), Named(B, "Moss")]) == {A: "Larches", B: "Moss"}


def test_case_tells_nobody_apart() -> None:
    found = told_apart([Named(A, "Larches", "East road"), Named(B, "larches", "West road")])
    assert found == {A: "Larches (East road)", B: "larches (West road)"}


def test_where_nothing_else_differs_the_id_does() -> None:
    found = told_apart([Named(A, "Moss", "East road"), Named(B, "Moss", "East road"), Named(C, "Moss")])
    assert found == {A: "Moss (000001)", B: "Moss (000002)", C: "Moss (000003)"}


def test_a_name_that_reads_like_another_one_told_apart_is_no_other() -> None:
    rows = [Named(A, "Moss", "East road"), Named(B, "Moss"), Named(C, "Moss (East road)")]
    assert len(set(told_apart(rows).values())) == 3
