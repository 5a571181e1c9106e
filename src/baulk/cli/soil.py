"""`baulk soil`: texture by fractions or by feel, the difference of two colours, inclusions of a patch."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from baulk.cli.options import as_json, emit, path_name
from baulk.errors import InputError
from baulk.ground.colour import srgb_of
from baulk.ground.feel import Felt, Question, texture_by_feel
from baulk.ground.soil import compare_colours
from baulk.work.soil import PARTS, patch_inclusions, soil_texture

__all__ = ["soil"]

Answer = tuple[dict[str, object], str]

_WHICH = {"light": "lighter", "dark": "darker", "other": "other colour"}


@click.command()
@click.option("--fractions", type=float, nargs=3, metavar="SAND SILT CLAY", help="Per cent of the fine earth (below 2 mm).")
@click.option(
    "--triangle", type=path_name, default=None, metavar="FILE.svg", help="With --fractions: draw the soil on the triangle."
)
@click.option("--feel", is_flag=True, help="Ask a few questions that a hand can answer.")
@click.option("--answer", "answers", multiple=True, metavar="NAME=ANSWER", help="With --feel: an answer given beforehand.")
@click.option("--colours", nargs=2, metavar='"10YR 4/3" "10YR 5/4"', help="Two Munsell readings, both moist or both dry.")
@click.option("--patch", type=path_name, default=None, metavar="PHOTO", help="Measure the inclusions of a patch of a photo.")
@click.option("--box", type=int, nargs=4, metavar="LEFT TOP RIGHT BOTTOM", help="With --patch: its edges in pixels, from 0.")
@click.option(
    "--inclusions", type=click.Choice(list(_WHICH)), default="light", show_default=True, help="With --patch: what they are."
)
@click.option("--pixel", type=float, default=None, metavar="MM", help="With --patch: millimetres of ground to a pixel.")
@as_json
def soil(
    fractions: tuple[float, float, float] | None, triangle: Path | None, feel: bool, answers: Sequence[str],
    colours: tuple[str, str] | None, patch: Path | None, box: tuple[int, int, int, int] | None, inclusions: str,
    pixel: float | None, json_out: bool,
) -> None:  # fmt: skip
    """Name the texture of a soil, compare two readings of its colour, or measure its inclusions on a photo."""
    if sum((bool(fractions), feel, bool(colours), patch is not None)) != 1:
        raise click.UsageError("Give one of --fractions, --feel, --colours or --patch.")
    if fractions:
        answer = _texture(fractions, triangle)
    elif colours:
        answer = _colours(*colours)
    elif patch is not None:
        if not box:
            raise click.UsageError("A patch has edges: give --box with its left, top, right and bottom pixel.")
        answer = _patch(patch, box, _WHICH[inclusions], pixel)
    else:
        answer = _feel(answers, asking=not json_out)
    emit(*answer, json_out=json_out)


def _texture(fractions: tuple[float, float, float], triangle: Path | None) -> Answer:
    found = soil_texture(*fractions, triangle=triangle)
    said: dict[str, object] = {
        "texture": found.texture, "also": list(found.also), "file": None if found.file is None else str(found.file),
        "says": found.words,
    }  # fmt: skip
    return said, found.words + (f"\nWrote {found.file}" if found.file else "")


def _colours(first: str, second: str) -> Answer:
    found = compare_colours(first, second)
    chips = [srgb_of(first), srgb_of(second)]
    said = {
        "difference": found.difference, "within_reading_error": found.within_reading_error, "chips": chips, "says": found.words,
    }  # fmt: skip
    return said, f"{found.words}\nOn screen {first} is {chips[0]} and {second} is {chips[1]}."


def _patch(photo: Path, box: tuple[int, int, int, int], which: str, pixel: float | None) -> Answer:
    measured = patch_inclusions(photo, box, which=which, millimetres=pixel)
    found = measured.found
    said = {
        "share": found.share, "standard_error": measured.error, "parts": PARTS**2, "contrast": found.contrast,
        "pieces": found.count, "lengths": [one.most for one in found.sizes], "in": "pixels" if pixel is None else "mm",
        "method": found.method, "says": measured.words,
    }  # fmt: skip
    return said, measured.words


def _feel(given: Sequence[str], *, asking: bool) -> Answer:
    answers: dict[str, str] = {}
    for one in given:
        name, sign, answer = one.partition("=")
        if not sign:
            raise InputError(f"“{one[:40]}” is no answer by name. Write the question, = and the answer, as in --answer ball=yes.")
        answers[name.strip()] = answer.strip()
    felt = texture_by_feel(answers)
    while asking and felt.next_question is not None:
        answers[felt.next_question.name] = _asked(felt.next_question)
        felt = texture_by_feel(answers)
    return _felt(felt, answers), f"Texture by feel: {felt.texture} ({felt.mark})."


def _felt(felt: Felt, answers: dict[str, str]) -> dict[str, object]:
    ahead = felt.next_question
    return {
        "texture": felt.texture,
        "next": None if ahead is None else {"name": ahead.name, "asks": ahead.asks, "answers": list(ahead.answers)},
        "answers": answers,
        "mark": felt.mark,
    }


def _asked(question: Question) -> str:
    """Return the answer to a question; its number or its words are typed."""
    click.echo(question.asks, err=True)
    for number, answer in enumerate(question.answers, start=1):
        click.echo(f"  {number}  {answer}", err=True)
    by_number = {str(number): answer for number, answer in enumerate(question.answers, start=1)}
    typed = click.Choice([*by_number, *question.answers], case_sensitive=False)
    said = str(click.prompt("Number or answer", type=typed, show_choices=False, err=True))
    return by_number.get(said, said)
