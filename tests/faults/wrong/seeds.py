"""Wrong histories, made from the right ones by one small change each, where chance says. WRONG names the promise it breaks.

A change goes through everything that a server with that fault would show: a row that such a server had lost is missing
from its dump, its tables and the phones alike, so that only the promise in question can find it.
"""

from collections.abc import Callable
from random import Random

from tests.faults.wrong import kept_wrongly, shown_wrongly
from tests.faults.wrong.parts import Events

Wrong = Callable[[Events, Random], None]
RIGHT, RESTORED = "right", "right_restored"
WRONG: dict[str, list[tuple[str, Wrong]]] = {
    "I1": [
        (RIGHT, kept_wrongly.forgets_a_saved_record),
        (RIGHT, kept_wrongly.keeps_a_record_without_its_picture),
        (RIGHT, kept_wrongly.keeps_pictures_of_a_save_that_was_cut),
    ],
    "I2": [(RIGHT, kept_wrongly.applies_twice), (RIGHT, kept_wrongly.answers_differently)],
    "I3": [
        (RIGHT, kept_wrongly.loses_what_waits),
        (RIGHT, kept_wrongly.loses_what_was_refused),
        (RIGHT, kept_wrongly.forgets_the_outvoted_value),
    ],
    "I4": [
        (RIGHT, kept_wrongly.leaves_a_number_out),
        (RIGHT, kept_wrongly.shows_a_later_row_before_an_earlier),
    ],
    "I5": [(RIGHT, kept_wrongly.never_gives_a_row), (RIGHT, kept_wrongly.gives_new_phones_less_than_it_has)],
    "I6": [(RIGHT, kept_wrongly.goes_back), (RIGHT, kept_wrongly.is_sure_too_soon)],
    "I7": [
        (RIGHT, kept_wrongly.shows_one_phone_something_else),
        (RIGHT, kept_wrongly.lets_the_earlier_edit_stand),
    ],
    "I8": [
        (RIGHT, shown_wrongly.hides_a_record_just_saved),
        (RIGHT, shown_wrongly.shows_nothing_for_a_moment),
    ],
    "I9": [
        (RIGHT, shown_wrongly.brings_a_deleted_row_back),
        (RIGHT, shown_wrongly.lets_somebody_restore_who_did_not_know),
    ],
    "I10": [
        (RIGHT, shown_wrongly.shows_a_strangers_row),
        (RIGHT, shown_wrongly.shows_a_strangers_value_under_the_same_id),
    ],
    "I11": [
        (RIGHT, shown_wrongly.answers_an_old_phone_anew),
        (RIGHT, shown_wrongly.numbers_an_old_phones_change_anew),
    ],
    "I12": [
        (RIGHT, shown_wrongly.lets_a_clock_decide_what_nobody_disputes),
        (RIGHT, shown_wrongly.moves_a_stated_time),
    ],
    "I13": [(RIGHT, shown_wrongly.weighs_wrongly), (RIGHT, shown_wrongly.counts_an_add_twice)],
    "I14": [
        (RESTORED, shown_wrongly.loses_what_only_the_copy_had),
        (RESTORED, shown_wrongly.shows_again_what_was_deleted_before),
        (RESTORED, shown_wrongly.goes_on_as_if_nothing_had_been_put_back),
    ],
    "I15": [
        (RIGHT, shown_wrongly.has_no_file),
        (RIGHT, shown_wrongly.has_another_file),
        (RIGHT, shown_wrongly.forgets_a_picture),
        (RIGHT, shown_wrongly.sweeps_nothing),
        (RIGHT, shown_wrongly.sweeps_too_much),
    ],
}
