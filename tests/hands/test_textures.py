"""Textures of the piano's literature, each as a pianist divides it (common practice, no source)."""

from engrave.hands import divide
from tests.hands.lines import Line, bar, hands, score


def divided(*lines: Line, quarters: int = 100, staves: int = 2) -> dict[int, str]:
    """Who plays a bar of these voices."""
    return hands(
        divide(score(bar(*lines, staves=staves), quarters=quarters, staves=staves)).score.sheet
    )


def test_what_each_staff_can_play_stays_with_its_hand() -> None:
    found = divided((1, 1, "C5+E5*1 D5+F5*1"), (5, 2, "C3+G3*1 G2+F3*1"))
    assert found == {1: "RR RR", 5: "LL LL"}


def test_a_left_hand_chord_whose_voice_begins_with_a_rest_upstairs() -> None:
    found = divided((1, 1, "E5*1 D5*1"), (2, 1, "r@1*1 C3+E3+G3@2*1"))
    assert found == {1: "R R", 2: "LLL"}


def test_octaves_by_turns_between_the_staves_go_to_both_hands() -> None:
    found = divided((1, 1, "(C2+C3@2*1/4 C4+C5*1/4 D2+D3@2*1/4 D4+D5*1/4)"))
    assert found == {1: "LL RR LL RR"}


def test_an_inner_voice_of_the_upper_staff_stays_there_without_need() -> None:
    found = divided((1, 1, "C5*2"), (6, 1, "E4*1 F4*1"), (5, 2, "C3*2"))
    assert found == {1: "R", 6: "R R", 5: "L"}


def test_an_arpeggio_under_a_melody_is_the_left_hands_also_upstairs() -> None:
    found = divided((1, 1, "E5*2"), (5, 2, "(C3*1/2 G3*1/2 C4@1*1/2 E4@1*1/2)"))
    assert found == {1: "R", 5: "L L L L"}


def test_an_arpeggio_through_both_staves_is_shared_where_both_are_free() -> None:
    found = divided((1, 1, "(C3@2*1/4 G3@2*1/4 C4*1/4 E4*1/4 G4*1/4 E4*1/4 C4*1/4 G3@2*1/4)"))
    assert found == {1: "L L R R R R R L"}


def test_a_middle_line_is_shared_by_the_thumbs_where_both_hands_have_more_to_do() -> None:
    found = divided((1, 1, "E5*2"), (2, 1, "(G4*1/2 C4@2*1/2 G4*1/2 C4@2*1/2)"), (5, 2, "C3*2"))
    assert found == {1: "R", 2: "R L R L", 5: "L"}


def test_a_tenth_goes_to_both_hands_where_one_has_room() -> None:
    found = divided((1, 1, "G4+C5*1"), (5, 2, "C3+G3+E4*1"))
    assert found == {1: "RR", 5: "LLR"}


def test_a_tenth_that_the_score_rolls_is_one_hands() -> None:
    found = divided((1, 1, "G4+C5*1"), (5, 2, "C3+G3+E4~*1"))
    assert found == {1: "RR", 5: "LLL"}


def test_a_hand_takes_no_note_for_which_it_has_no_time() -> None:
    """Between two sixteenths of a bass tremolo: slowly it can, quickly the tenth is rolled."""
    tremolo = "(Bb1*1/4 Bb2*1/4 Bb1*1/4 Bb2*1/4) (Bb1*1/4 Bb2*1/4 Bb1*1/4 Bb2*1/4)"
    lines: tuple[Line, ...] = ((1, 1, "A4+C5*7/8 E4+A4+G5*9/8"), (5, 2, tremolo))
    assert divided(*lines, quarters=40)[1] == "RR LRR"
    assert divided(*lines, quarters=120)[1] == "RR RRR"
    (told,) = divide(score(bar(*lines), quarters=120)).beyond
    assert told.place.startswith("1.")


def test_an_idle_hand_takes_the_inner_notes_for_which_the_other_would_let_its_melody_go() -> None:
    found = divided((1, 1, "G5*2"), (2, 1, "r*1/2 (C4*1/2 D4*1/2 C4*1/2)"), (5, 2, "r*2"))
    assert found == {1: "R", 2: "L L L"}


def test_a_bass_is_left_to_the_pedal_under_its_chords() -> None:
    found = divided((1, 1, "r*3"), (5, 2, "r*1 C4+E4+G4*1 C4+E4+G4*1"), (6, 2, "C2*3"))
    assert found == {5: "LLL LLL", 6: "L"}


def test_a_chord_that_is_struck_again_is_not_divided_otherwise() -> None:
    found = divided(
        (1, 1, "C4+E4+G4*1 G4*1 C4+E4+G4*1 G4*1"),
        (7, 2, "r*1 C4+E4*1 r*1 C4+E4*1"),
        (5, 2, "C2+C3*4"),
    )
    assert found == {1: "RRR R RRR R", 7: "RR RR", 5: "LL"}


def test_a_left_hand_that_crosses_over_on_its_own_staff_stays_the_left() -> None:
    found = divided((1, 1, "(C4*1/2 E4*1/2 C4*1/2 E4*1/2)"), (5, 2, "C3*1 G5*1"))
    assert found == {1: "R R R R", 5: "L L"}


def test_both_hands_on_the_lower_staff_where_the_upper_is_blank() -> None:
    found = divided((1, 2, "(D3*1/2 G3*1/2 B3*1/2 D4*1/2)"), (5, 2, "G1+G2*2"))
    assert found == {1: "R R R R", 5: "LL"}


def test_a_rest_upstairs_leaves_two_lines_of_the_lower_staff_to_the_left() -> None:
    found = divided((1, 1, "r*2"), (6, 2, "(D3*1/2 G3*1/2 D3*1/2 G3*1/2)"), (5, 2, "G2*2"))
    assert found[6] == "L L L L"


LOW: tuple[Line, ...] = (
    (1, 1, "r*1"),
    (5, 2, "r*1/4 (A2*1/4 C3*1/4 A3*1/4)"),
    (6, 2, "A1*1/2 r*1/2"),
)
HIGH: tuple[Line, ...] = ((1, 1, "r*1/4 (A4*1/4 C5*1/4 A5*1/4)"), (5, 2, "A3*1/2 r*1/2"))


def test_a_figure_that_climbs_out_of_the_bass_is_one_hands_all_the_way() -> None:
    """Joplin, Maple Leaf Rag, 7 and 8: the stems downstairs say what both staves say upstairs."""
    found = divide(score(bar(*LOW), bar(*HIGH, name="2"))).score.sheet
    assert hands(found, 0) == {5: "R R R", 6: "L"}
    assert hands(found, 1) == {1: "R R R", 5: "L"}
    down = divide(score(bar(*HIGH), bar(*LOW, name="2")))
    assert hands(down.score.sheet, 1) == {5: "R R R", 6: "L"}
    assert [(each.why, each.count) for each in down.handovers] == [("figure", 3)]


def test_another_figure_beside_it_says_nothing() -> None:
    other: tuple[Line, ...] = ((1, 1, "r*1/4 (A4*1/4 B4*1/4 A5*1/4)"), HIGH[1])
    assert hands(divide(score(bar(*LOW), bar(*other, name="2"))).score.sheet, 0)[5] == "L L L"
    fifth: tuple[Line, ...] = ((1, 1, "r*1/4 (E4*1/4 G4*1/4 E5*1/4)"), (5, 2, "E3*1/2 r*1/2"))
    assert hands(divide(score(bar(*LOW), bar(*fifth, name="2"))).score.sheet, 0)[5] == "L L L"


def test_what_lies_on_the_middle_of_three_staves_goes_to_the_hand_that_reaches_it() -> None:
    found = divided((1, 1, "C6*1 D6*1"), (5, 2, "C4*1 B3*1"), (9, 3, "C3*1 G2*1"), staves=3)
    assert found == {1: "R R", 5: "L L", 9: "L L"}


def test_a_middle_staff_near_the_right_hand_is_the_right_hands() -> None:
    found = divided((1, 1, "C5*1 D5*1"), (5, 2, "E4*1 F4*1"), (9, 3, "C2*1 G1*1"), staves=3)
    assert found == {1: "R R", 5: "R R", 9: "L L"}


def test_two_of_four_staves_are_each_hands() -> None:
    found = divided((1, 1, "C6*1"), (5, 2, "C5*1"), (9, 3, "C4*1"), (13, 4, "C3*1"), staves=4)
    assert found == {1: "R", 5: "R", 9: "L", 13: "L"}


def test_what_ten_fingers_cannot_reach_is_told_once_with_its_places() -> None:
    wide: tuple[Line, ...] = ((1, 1, "C5+G6*1 C5+G6*1"), (5, 2, "C2+G3*1 C2*1"))
    found = divide(score(bar(*wide)))
    assert [each.place for each in found.beyond] == ["1.1", "1.2"]
    (notice,) = found.score.notices
    assert "1.1 and 1.2" in notice.message


def test_where_notes_are_printed_does_not_change() -> None:
    before = score(bar((1, 1, "G4+C5*1"), (5, 2, "C3+G3+E4*1")))
    (low, high) = (event for event in divide(before).score.sheet.bars[0].events if event.voice == 5)
    assert (low.staff, high.staff, low.joined, high.joined) == (2, 2, False, True)
    assert [tone.pitch.spelling for tone in (*low.tones, *high.tones)] == ["C3", "G3", "E4"]


def test_octaves_by_turns_over_a_held_bass_go_to_both_hands() -> None:
    turns = "r*1/4 (C4+C5*1/4 D2+D3@2*1/4 D4+D5*1/4 E2+E3@2*1/4 E4+E5*1/4)"
    found = divided((1, 1, turns), (5, 2, "C1*3/2"))
    assert found == {1: "RR LL RR LL RR", 5: "L"}


def test_a_chord_upstairs_of_the_line_whose_bass_stands_downstairs_is_the_left_hands() -> None:
    found = divided((1, 1, "C5*1 E5*1 D5*1"), (5, 2, "C3*1 E4+G4@1*1 E4+G4@1*1"))
    assert found == {1: "R R R", 5: "L LL LL"}


def test_a_left_hand_that_crosses_over_onto_the_upper_staff() -> None:
    found = divided((1, 1, "(C4*1/2 E4*1/2 G4*1/2 E4*1/2)"), (5, 2, "C3*1 C6@1*1"))
    assert found == {1: "R R R R", 5: "L L"}


def test_an_arpeggio_over_a_held_bass_under_a_melody_is_the_left_hands() -> None:
    found = divided((1, 1, "E5*2"), (5, 2, "(G3*1/2 C4*1/2 E4@1*1/2 C4*1/2)"), (6, 2, "C3*2"))
    assert found == {1: "R", 5: "L L L L", 6: "L"}


def test_a_run_of_the_right_hand_that_dips_downstairs_over_a_held_chord_stays_the_rights() -> None:
    found = divided((1, 1, "(C5*1/4 A4*1/4 F4*1/4 C4@2*1/4)"), (5, 2, "F3+A3*1"))
    assert found == {1: "R R R R", 5: "LL"}


def test_a_bar_that_comes_again_is_divided_as_the_first_time() -> None:
    figure: tuple[Line, ...] = (
        (1, 1, "G5*2"),
        (2, 1, "r*1/2 (C4*1/2 D4*1/2 C4*1/2)"),
        (5, 2, "r*2"),
    )
    far: tuple[Line, ...] = ((1, 1, "C5*2"), (5, 2, "C2*1 C1+C2*1"))
    found = divide(score(bar(*figure), bar(*far, name="2"), bar(*figure, name="3"))).score.sheet
    assert hands(found, 2) == hands(found, 0) == {1: "R", 2: "L L L"}
