"""Titles and names as people say them."""

from pathlib import Path

import pytest

from engrave.score import read_score
from engrave.score.titles import natural_name, own_title, piece_in_work, title_of_file
from tests.score.build import document, head, measure, note


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


@pytest.mark.parametrize(
    ("stem", "said"),
    [
        ("hedge_song_op2", "Hedge song op2"),
        ("hedge-song", "Hedge song"),
        ("op17-3", "Op17-3"),
        ("leHedgeEVert", "Le Hedge E Vert"),
        ("ÉtudeNoire", "Étude Noire"),
        ("Hedge Song", "Hedge Song"),
        ("BWV846", "BWV846"),
        ("movement1_exposition", "Movement 1 exposition"),
        ("", ""),
    ],
)
def test_a_file_s_name_is_said_in_words(stem: str, said: str) -> None:
    assert title_of_file(stem) == said


def credited(folder: Path, credits: tuple[str, ...]) -> Path:
    """A file with these credits on its first page."""
    text = document(("Piano", measure(1, note("C4", 4), head=head())))
    shown = "".join(f'<credit page="1">{each}</credit>' for each in credits)
    path = folder / "a.musicxml"
    path.write_text(text.replace("<part-list>", f"{shown}<part-list>", 1), "utf-8")
    return path


def words(text: str, size: str, justify: str = "center") -> str:
    return f'<credit-words font-size="{size}" justify="{justify}">{text}</credit-words>'


@pytest.mark.parametrize(
    ("credits", "said"),
    [
        ((words("Hedge Song", "24"), words("Ann Nobody", "12", "right")), "Hedge Song"),
        ((words("Ann Nobody", "24", "right"), words("Hedge Song", "12")), ""),
        ((words("Hedge Song", "24"), words("Lark Song", "24")), ""),
        (("<credit-type>title</credit-type>" + words("Lark", "12"), words("2", "30")), "Lark"),
        ((words("Hedge Song", "large"),), ""),
    ],
)
def test_a_title_may_stand_on_the_first_page_alone(
    tmp_path: Path, credits: tuple[str, ...], said: str
) -> None:
    """MusicXML 4.0, ``credit``: many files say in none of its titles what their page shows."""
    assert read_score(credited(tmp_path, credits)).title == said


@pytest.mark.parametrize(
    ("credits", "said"),
    [
        ((words("Hedge Song", "24"), words("Nobody, Ann", "12", "right")), "Ann Nobody"),
        (("<credit-type>composer</credit-type>" + words("Ann Nobody", "12"),), "Ann Nobody"),
        ((words("Arr. Ann Nobody", "12", "right"),), ""),
        ((words("Op. 2", "12", "right"),), ""),
        ((words("Ann Nobody", "12", "right"), words("Bo Nobody", "12", "right")), ""),
    ],
)
def test_a_composer_may_stand_on_the_first_page_alone(
    tmp_path: Path, credits: tuple[str, ...], said: str
) -> None:
    assert read_score(credited(tmp_path, credits)).composer == said
