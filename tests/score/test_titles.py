"""Titles and names as people say them."""

import pytest

from engrave.score.titles import natural_name, own_title, piece_in_work


@pytest.mark.parametrize(
    ("title", "said"),
    [
        ("Hedge Song", "Hedge Song"),
        ("hedge-song.mxl", ""),
        ("Another.MusicXML", ""),
        ("hedge", "hedge"),
        ("Untitled", ""),
        (" Hedge\u00a0 Song \nfor two", "Hedge Song"),
        ("", ""),
    ],
)
def test_a_file_s_name_is_no_title(title: str, said: str) -> None:
    assert own_title(title, "hedge-song.mxl") == said


@pytest.mark.parametrize(
    ("work", "movement", "said"),
    [
        ("Hedge Songs", "The Lark", "Hedge Songs: The Lark"),
        ("Hedge Song", "", "Hedge Song"),
        ("", "The Lark", "The Lark"),
        ("The Lark", "the lark", "The Lark"),
        ("Sonata", "Sonata, I. Allegro", "Sonata, I. Allegro"),
        ("Fairy Tales", "Air", "Fairy Tales: Air"),
        ("Untitled", "The Lark", "The Lark"),
        ("Hedge Song", "lark.musicxml", "Hedge Song"),
        ("", "", ""),
    ],
)
def test_a_piece_is_named_with_the_work_that_it_is_part_of(
    work: str, movement: str, said: str
) -> None:
    assert piece_in_work(work, movement) == said


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("Fennimore, Ida", "Ida Fennimore"),
        ("van der Hedge, Jo Ann", "Jo Ann van der Hedge"),
        ("Ida Fennimore", "Ida Fennimore"),
        ("Fennimore, arr. Hedge", "Fennimore, arr. Hedge"),
        ("Ida Fennimore, op. 3", "Ida Fennimore, op. 3"),
        ("Fennimore, Hedge and Lark", "Fennimore, Hedge and Lark"),
        ("Ida Fennimore (1801-1860)", "Ida Fennimore (1801-1860)"),
        ("Mrs. Fennimore\nOp. 75, No. 4", "Mrs. Fennimore"),
        ("Martin Hedge, Jr.", "Martin Hedge, Jr."),
        ("Music21", ""),
        ("Composer", ""),
    ],
)
def test_names_stand_in_natural_order(name: str, said: str) -> None:
    assert natural_name(name) == said
