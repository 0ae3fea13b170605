"""Pages are made up as cheaply as can be, and stand as they were made up."""

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.booklet import LaidOut, Place, page_style
from engrave.booklet.galley import Block, BlockKind, galley
from engrave.booklet.makeup import as_it_stands, has_room, make_up, spaces
from engrave.booklet.press import Press
from engrave.booklet.setting import Setting
from tests.booklet.samples import book, passage_pages

HEIGHT_MM = 180.0


def block(number: int, kind: BlockKind, height_mm: float, page: int = 1) -> Block:
    return Block(f"{kind}-{number}", kind, height_mm, 4.0, page, page)


COLUMNS = st.lists(
    st.tuples(st.sampled_from(list(BlockKind)), st.floats(5, 120)), min_size=1, max_size=8
).map(
    lambda found: [
        block(n, kind if n else BlockKind.PASSAGE, height) for n, (kind, height) in enumerate(found)
    ]
)


def paged(blocks: list[Block], starts: tuple[int, ...], first_page: int) -> list[Block]:
    """The blocks as they stand where pages begin at ``starts``."""
    pages = [first_page + sum(start <= n for start in starts) for n in range(len(blocks))]
    return [
        block(n, each.kind, each.height_mm, page)
        for n, (each, page) in enumerate(zip(blocks, pages, strict=True))
    ]


@given(COLUMNS, st.integers(2, 3))
def test_no_other_pages_are_cheaper(blocks: list[Block], first_page: int) -> None:
    """Against every way there is."""
    costs = []
    for count in range(len(blocks)):
        for starts in combinations(range(1, len(blocks)), count):
            ends = (0, *starts, len(blocks))
            if all(has_room(blocks[a:b], HEIGHT_MM) for a, b in pairwise(ends)):
                costs.append(as_it_stands(paged(blocks, starts, first_page), HEIGHT_MM).cost)
    assert make_up(blocks, HEIGHT_MM, first_page).cost == pytest.approx(min(costs))


@pytest.mark.parametrize(
    ("first_page", "begins"),
    [(2, ("passage-0", "music-3")), (3, ("passage-0", "drill-2"))],
    ids=["across an opening", "over the page"],
)
def test_music_goes_on_beside_it_not_overleaf(first_page: int, begins: tuple[str, ...]) -> None:
    blocks = [
        block(0, BlockKind.PASSAGE, 100),
        block(1, BlockKind.FAMILY, 30),
        block(2, BlockKind.DRILL, 30),
        block(3, BlockKind.GOES_ON, 60),
        block(4, BlockKind.GOES_ON, 40),
        block(5, BlockKind.BOXES, 40),
    ]
    assert make_up(blocks, HEIGHT_MM, first_page).begins == begins


def test_boxes_stay_with_their_last_drill() -> None:
    blocks = [
        block(0, BlockKind.PASSAGE, 60),
        block(1, BlockKind.FAMILY, 50),
        block(2, BlockKind.DRILL, 50),
        block(3, BlockKind.BOXES, 20),
        block(4, BlockKind.PASSAGE, 90),
    ]
    assert make_up(blocks, HEIGHT_MM, 3).begins == ("passage-0", "drill-2")


def test_what_is_left_goes_between_blocks_but_for_the_last_page() -> None:
    blocks = [
        block(0, BlockKind.PASSAGE, 80),
        block(1, BlockKind.FAMILY, 90),
        block(2, BlockKind.PASSAGE, 60),
        block(3, BlockKind.FAMILY, 40),
    ]
    found = spaces(blocks, ("passage-0", "passage-2"), HEIGHT_MM)
    assert 9 < found["family-1"] < 10
    assert found["family-3"] == 4.0


def test_systems_are_set_apart_less_than_drills() -> None:
    blocks = [
        block(0, BlockKind.PASSAGE, 40),
        block(1, BlockKind.GOES_ON, 40),
        block(2, BlockKind.FAMILY, 40),
        block(3, BlockKind.BOXES, 40),
        block(4, BlockKind.PASSAGE, 90),
    ]
    found = spaces(blocks, ("passage-0", "passage-4"), HEIGHT_MM + 10)
    assert found == {"music-1": 8.5, "family-2": 11.0, "return-3": 4.0}


def test_a_page_is_tightened_for_what_nearly_fits() -> None:
    blocks = [
        block(0, BlockKind.PASSAGE, 80),
        block(1, BlockKind.FAMILY, 52),
        block(2, BlockKind.BOXES, 41),
        block(3, BlockKind.PASSAGE, 120),
    ]
    begins = make_up(blocks, HEIGHT_MM, 3).begins
    assert begins == ("passage-0", "passage-3")
    assert spaces(blocks, begins, HEIGHT_MM) == {"family-1": 3.5, "return-2": 3.5}


@pytest.mark.parametrize("edition", ["student", "stand", "masterclass"])
def test_pages_stand_as_they_were_made_up(edition: str) -> None:
    style = page_style(edition, "a5")
    passages = tuple(
        passage_pages(n, f"{n}0-{n}4", width_mm=style.music_width_mm, systems=3) for n in (1, 2, 3)
    )
    blocks = galley(LaidOut(book(passages=passages), style).places)
    assert [each.name for each in blocks if each.page != each.last_page] == []
    best = make_up(blocks, style.text_height_mm, blocks[0].page)
    assert as_it_stands(blocks, style.text_height_mm).cost <= best.cost + 40


@pytest.mark.parametrize("edition", ["student", "stand"])
@pytest.mark.parametrize("name", ["passage-2", "family-1-2", "drill-1-3", "return-1-1"])
def test_what_begins_a_page_stands_at_its_top(edition: str, name: str) -> None:
    """Space above it is counted nowhere: the page would hold less than it was made up to hold."""
    style = page_style(edition)
    passages = tuple(passage_pages(n, f"{n}0-{n}4") for n in (1, 2))
    setting = Setting(book(passages=passages), style, '"1"')
    laid_out = Press().lay_out(setting.html({}, {"passage-1", name}), setting.pictures, False)
    place = laid_out.places[name][0]
    assert place.page > laid_out.places["passage-1"][0].page
    assert place.y_mm == pytest.approx(style.top_mm, abs=0.01)


def test_a_galley_has_a_row_of_drills_once_and_boxes_at_their_foot() -> None:
    """Of what stands side by side the lower end counts; music overleaf belongs to its drill."""
    boxes = {
        "passage-1": [(3, 15.0, 14.0, 120.0, 180.0), (4, 11.0, 14.0, 120.0, 150.0)],
        "1-0-1": [(3, 15.0, 25.0, 110.0, 40.0)],
        "family-1-1": [(3, 15.0, 70.0, 120.0, 120.0), (4, 11.0, 14.0, 120.0, 150.0)],
        "head-1-1": [(3, 15.0, 70.0, 120.0, 8.0)],
        "1-1-1": [(3, 15.0, 85.0, 50.0, 30.0)],
        "row-1-2": [(3, 15.0, 120.0, 120.0, 40.0)],
        "1-2-1": [(3, 15.0, 126.0, 50.0, 34.0)],
        "1-3-1": [(3, 75.0, 126.0, 50.0, 24.0)],
        "drill-1-4": [(3, 15.0, 165.0, 120.0, 10.0), (4, 11.0, 14.0, 120.0, 30.0)],
        "1-4-1": [(4, 15.0, 14.0, 120.0, 30.0)],
        "return-1-1": [(4, 15.0, 50.0, 120.0, 20.0)],
    }
    places = {name: [Place(*box) for box in found] for name, found in boxes.items()}
    assert galley(places, {"row-1-2": 2.0}) == [
        Block("passage-1", BlockKind.PASSAGE, 51.0, 12.0, 3, 3),
        Block("family-1-1", BlockKind.FAMILY, 45.0, 5.0, 3, 3),
        Block("row-1-2", BlockKind.ROW, 40.0, 3.0, 3, 3),
        Block("drill-1-4", BlockKind.DRILL, 30.0, 5.0, 3, 4),
        Block("return-1-1", BlockKind.BOXES, 20.0, 6.0, 4, 4),
    ]
