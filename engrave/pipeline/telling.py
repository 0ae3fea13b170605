"""From the stories of the passages to what the booklet says of them, and what the plan needs.

Enters: checked marks with the log. Leaves: ``Progress``. Knows neither paper nor language.
"""

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby

from engrave.booklet import Due, News, PassageNeed, Progress
from engrave.marks.placed import value_of
from engrave.pipeline.checking import Checked
from engrave.pipeline.story import (
    DrillStory,
    Story,
    advice,
    curves,
    drill_name,
    family_name,
    passage_name,
    since,
    stories,
)
from engrave.remarks import Remark
from engrave.words import heading


def progress_of(checked: Checked) -> Progress:
    """What the booklet of ``checked`` knows of the time before it."""
    told, start = stories(checked), since(checked)
    noted = any(story.is_noted for story in told)
    has_news = checked.diary.practised or checked.lesson_before or noted
    return Progress(
        lesson=value_of(checked.marks.lesson),
        news=_news(checked, told, start) if start and has_news else None,
        done=tuple(_done(story) for story in told if story.done),
        curves=tuple(curve for curve in curves(checked) if curve.points),
        items=tuple(_item(story) for story in told),
    )


def _news(checked: Checked, told: Sequence[Story], start: date) -> News:
    passages = {each.passage.id: each.passage for each in checked.passages}
    going = [story for story in told if not story.done]
    before = checked.lesson_before
    had_done = before[1].done if before else ()
    practised = any(each.day > start for each in checked.diary.practised)
    is_silent = not (practised or any(story.is_noted for story in going))
    left = [
        Remark.of("news.left", name=passage_name(story))
        for story in going
        if story.is_left and not is_silent
    ]
    return News(
        since=before[0] if before else None,
        is_silent=is_silent,
        moved=tuple(said for story in going for said in _moved(story)),
        stuck=(
            *(
                Remark.of("news.line", said=_stuck(story), then=advice(story, passages[story.id]))
                for story in going
                if story.stuck
            ),
            *left,
        ),
        new=tuple(passage_name(story) for story in going if story.is_new),
        done=tuple(
            _done(story)
            for story in told
            if story.done and story.id not in had_done and (story.done_on or start) >= start
        ),
    )


def _moved(story: Story) -> Iterator[Remark]:
    """A line a drill; one a family of which the teacher has noted the same of all."""

    def alike(each: DrillStory) -> object:
        noted = each.is_noted and not each.tried
        return (each.drill.family, each.before, each.now) if noted else each.number

    for _, found in groupby(story.moved, alike):
        first, *rest = found
        name = family_name(first, rest[-1], story) if rest else drill_name(first, story)
        key = "news.rose" if first.before else "news.began"
        yield Remark.of(key, name=name, before=first.before, now=first.now)


def _stuck(story: Story) -> Remark:
    names = [drill_name(each, story) for each in story.stuck]
    days = len({day for each in story.stuck for day in each.tried})
    return Remark.of("news.stays", names=tuple(names), count=days)


def _done(story: Story) -> Remark:
    at = Remark.of("news.done-at", mark=story.reached) if story.reached else ""
    key = "news.done-line" if story.done_on else "news.done-plain"
    return Remark.of(
        key, number=story.number, where=heading(story.measures), day=story.done_on, at=at
    )


def _item(story: Story) -> PassageNeed:
    """What the plan deals out: stuck drills first, then those of which least was done."""
    order = sorted(
        (each for each in story.drills if each.number),
        key=lambda each: (not each.is_stuck, len(each.tried), each.number),
    )
    return PassageNeed(
        str(story.number),
        tuple(f"{story.number}.{each.number}" for each in order),
        _need(story),
    )


def _need(story: Story) -> Due:
    if story.done:
        return Due.DONE
    if story.is_new or story.stuck:
        return Due.OFTEN
    return Due.WELL if story.goes_well else Due.STEADY
