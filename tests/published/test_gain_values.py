"""The normalized gain against values that others have printed."""

import pytest

from recoverykit.classroom.review import normalized_gain


@pytest.mark.parametrize(("before", "after", "printed"), [(0.70, 0.80, 0.33), (0.90, 0.95, 0.5)])
def test_worked_examples_of_a_summary_of_crouch_and_mazur(before, after, printed):
    # D. Bruff, "Article: Crouch & Mazur (2001)", derekbruff.org, 2009. Mark: seen.
    digits = len(str(printed).partition(".")[2])
    assert round(normalized_gain(before, after), digits) == printed


def test_a_class_of_a_medical_school():
    # BMC Medical Education 21, 210 (2021), Table 1: the gain in score was 11.1, which was 55.55 %
    # of the greatest score and 225.8 % of the score before; the normalized gain is printed as
    # 0.73. Mark: seen. The score before follows from these (derived), to half of a last digit.
    greatest = 11.1 / 0.5555
    gains = [
        normalized_gain(gain / 2.258 / greatest, (gain / 2.258 + gain) / greatest)
        for gain in (11.05, 11.15)
    ]
    assert gains[0] < 0.735
    assert gains[1] > 0.725
