"""The constants that decide, each with a step it is moved by and the test that then fails.

    python -m tests.decisions.table [NAME...]

moves each constant in turn, runs its test, and says whether the test fails, as it should; all of them
where none is named, some minutes. Whoever tunes a constant or adds one states here what holds it.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
REASON, CASE = "tests/reason/test_decisions.py", "tests/case/test_decisions.py"
COST = f"{REASON}::test_what_it_costs_to_try_a_remedy"
USE = f"{CASE}::test_from_three_tenths_of_the_suspicion_a_cause_says_whether_to_go_on"


class Decision(NamedTuple):
    """One constant: the module that states it, its name, what it is moved to, and the test that it fails."""

    module: str
    name: str
    moved: str
    test: str


TABLE = [Decision(*row) for row in (
    ("reason.weights", "LEAK", "0.16",
     f"{REASON}::test_a_cause_not_known_to_show_a_complaint_stands_behind_one_that_seldom_does"),
    ("reason.weights", "LEAK_DOUBTFUL", "0.25",
     f"{REASON}::test_a_complaint_in_doubt_costs_a_cause_no_more_than_showing_it_sometimes"),
    ("reason.weights", "UNSHOWN_TOO", "-20.0",
     f"{REASON}::test_a_second_complaint_left_unexplained_costs_less_than_a_strong_answer_against"),
    ("reason.weights", "TOGETHER", "10.0",
     f"{REASON}::test_a_second_fault_is_there_three_times_as_often_as_by_chance"),
    ("reason.weights", "OTHER_SHARE", "0.12",
     f"{REASON}::test_of_all_trouble_one_in_seventeen_is_in_no_book"),
    ("reason.weights", "OVERLAP", "1.6",
     f"{REASON}::test_two_strong_answers_together_are_believed_as_less_than_their_sum"),
    ("reason.rank", "MOST_DOUBT", "0.5",
     f"{CASE}::test_once_a_sure_fix_fails_three_tenths_at_most_go_to_the_evidence_read_in_part"),
    ("reason.rank", "DOUBTED_WEIGHT_SHARE", "0.7",
     f"{CASE}::test_once_a_sure_fix_fails_three_tenths_at_most_go_to_the_evidence_read_in_part"),
    ("reason.plan", "GIVE_UP_MINUTES", "120.0",
     f"{REASON}::test_where_nothing_helps_four_hours_are_lost"),
    ("reason.plan", "CALL_MINUTES", "60.0", f"{COST}[technician]"),
    ("reason.plan", "CHECK_MINUTES", "8.0", f"{COST}[plain]"),
    ("reason.plan", "ATTENDED_MINUTES", "60.0", f"{COST}[one_hour]"),
    ("reason.plan", "WAITING_SHARE", "0.1", f"{COST}[half_a_day]"),
    ("reason.plan", "TOOLS_MINUTES", "0.0", f"{COST}[tools]"),
    ("reason.plan", "SHOT_MINUTES", "6.0", f"{COST}[two_shots]"),
    ("reason.plan", "LONG_SHOT", "0.25",
     f"{REASON}::test_nobody_starts_on_what_is_half_as_likely_to_reach_the_cause"),
    ("reason.plan", "MIN_REVERSIBLE_CHANCE", "0.1",
     f"{REASON}::test_what_cannot_be_undone_waits_for_one_chance_in_twenty"),
    ("reason.plan", "MIN_POSTERIOR", "0.02",
     f"{REASON}::test_a_cause_of_one_in_a_hundred_has_its_fix_in_the_order_and_one_in_a_thousand_none"),
    ("reason.plan", "HARM_MINUTES", "30.0", f"{REASON}::test_harm_costs_two_hours"),
    ("reason.plan", "HARMFUL", "0.2",
     f"{REASON}::test_what_may_do_harm_is_not_first_from_one_chance_in_ten_of_it"),
    ("reason.plan", "PRUNE_RATIO", "1.0",
     f"{REASON}::test_two_long_fixes_neither_worth_its_minutes_by_itself_are_worth_trying_in_turn"),
    ("reason.first", "IMPLAUSIBLE_SHARE", "0.9", f"{CASE}::test_a_fix_is_implausible_by_most_of_its_chance"),
    ("reason.first", "RIVAL_SHARE", "1.0", f"{CASE}::test_it_waits_for_another_of_half_its_chance"),
    ("reason.first", "DENIED_BY_ONE", "-17.0",
     f"{CASE}::test_one_strong_answer_against_a_cause_is_enough_and_a_substantial_one_is_not"),
    ("reason.conflict", "LONE_ANSWER_AGAINST", "30.0",
     f"{CASE}::test_a_decisive_answer_alone_is_asked_about_again_and_a_very_strong_one_is_not"),
    ("reason.conflict", "CLEAR_LEAD", "10.0",
     f"{CASE}::test_it_is_asked_about_only_where_the_cause_would_then_clearly_lead"),
    ("reason.multiple_faults", "WORTH_NAMING", "0.1",
     f"{CASE}::test_another_cause_of_the_same_is_named_from_one_chance_in_twenty"),
    ("reason.multiple_faults", "LIKELY_COMPANION", "0.3",
     f"{CASE}::test_a_second_fault_is_named_from_one_chance_in_eight"),
    ("reason.infer.experience", "BOOK_COUNTS", "24.0",
     f"{REASON}::test_the_books_word_counts_as_much_as_twelve_situations"),
    ("reason.infer.experience", "FLAT", "40.0",
     f"{REASON}::test_what_was_always_told_of_a_cause_alone_counts_for_it_by_half_a_deciban"),
    ("reason.infer.experience", "COUNTS_SHARE", "0.6",
     f"{REASON}::test_what_was_always_told_of_a_cause_alone_counts_for_it_by_half_a_deciban"),
    ("reason.infer.experience", "TELLS_SHARE", "0.7",
     f"{REASON}::test_a_strong_word_of_the_book_on_a_single_answer_counts_as_a_slight_one"),
    ("reason.infer.experience", "KNOWN_SHARE", "0.6",
     f"{REASON}::test_what_nobody_ever_told_is_known_three_fifths_as_often"),
    ("case.case", "HOPELESS", "0.08",
     f"{CASE}::test_what_helps_in_less_than_one_case_of_twenty_five_is_not_suggested"),
    ("case.case", "CHANCE_AT_GIVE_UP_TIME", "0.6",
     f"{CASE}::test_two_hours_of_work_want_a_chance_of_one_in_seven"),
    ("case.case", "FAIR_CAUSE", "0.2", f"{CASE}::test_nothing_is_advised_on_a_guess"),
    ("case.case", "FAIR_FIX", "0.3", f"{CASE}::test_nothing_is_advised_on_a_guess"),
    ("case.outcome_evidence", "BETTER_BY_CHANCE", "0.2",
     f"{CASE}::test_a_fix_that_helped_speaks_for_its_cause_and_more_so_where_all_is_well"),
    ("case.outcome_evidence", "PARTLY_CURED_SHARE", "0.6",
     f"{CASE}::test_a_fix_that_helped_speaks_for_its_cause_and_more_so_where_all_is_well"),
    ("case.outcome_evidence", "OTHER_PER_FAILURE", "6.0",
     f"{CASE}::test_two_fixes_that_failed_make_what_no_book_holds_four_times_as_likely"),
    ("case.outcome_evidence", "MOST_AGAIN", "3",
     f"{CASE}::test_what_goes_on_helping_is_done_six_times_and_no_more"),
    ("case.outcome_evidence", "TREATED_FROM", "0.9",
     f"{CASE}::test_a_cause_is_treated_by_what_often_cures_it_and_not_by_what_sometimes_does"),
    ("case.use", "LEADING_SHARE", "0.6", USE),
)]


def run(test: str, moved: Decision | None = None) -> subprocess.CompletedProcess[str]:
    """Run one test, with a constant moved if one is named."""
    plug_in = ["-p", "tests.decisions.moved"] if moved else []
    change = {"MOVED": f"{moved.module}:{moved.name}={moved.moved}"} if moved else {}
    command = [sys.executable, "-m", "pytest", "-q", "-n", "0", "-p", "no:cacheprovider", *plug_in, test]
    return subprocess.run(command,
                          cwd=ROOT, env={**os.environ, **change}, capture_output=True, text=True, check=False)


def notices(one: Decision) -> bool:
    """Does the constant's test fail once it is moved? AssertionError where the test can't be run so."""
    done = run(one.test, one)
    assert done.returncode in (0, 1) and " error" not in done.stdout, done.stdout + done.stderr
    return done.returncode == 1


def main() -> int:
    """Say of each constant whether its test notices the move."""
    rows = [one for one in TABLE if one.name in sys.argv[1:] or not sys.argv[1:]]
    missed = 0
    for one in rows:
        seen = notices(one)
        missed += not seen
        print(f"{'noticed' if seen else 'MISSED':8} {one.module}.{one.name} -> {one.moved}: "
              f"{one.test.partition('::')[2]}", flush=True)
    print(f"{len(rows) - missed} of {len(rows)} noticed")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
