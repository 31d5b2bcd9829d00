"""``gudgeon calc``: the trade's sums at the command line, with formula, sources and cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from gudgeon.cli.options import AsJson

if TYPE_CHECKING:
    from gudgeon.trade import Bolt, Worked

calc = typer.Typer(
    help="The trade's sums, with formula, source and cautions. Example: gudgeon calc torque --thread M10x1.5 --grade 8.8 --mu 0.12",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Thread = Annotated[str, typer.Option("--thread", metavar="THREAD", help="The thread: M10x1.5, M10 (coarse), 3/8-16, 1/2 BSW.")]
Grade = Annotated[str, typer.Option("--grade", metavar="GRADE", help="Property class or grade: 8.8, A2-70, or 5 on inch threads.")]
Mu = Annotated[float | None, typer.Option("--mu", metavar="µ", help="Friction in the thread and under the head, such as 0.12.")]
Condition = Annotated[str | None, typer.Option("--condition", metavar="WORD", help="Friction by condition: dry, zinc, oiled, anti-seize …")]
Head = Annotated[str, typer.Option("--head", metavar="HEAD", help="hex, socket or flange.")]
Hole = Annotated[float | None, typer.Option("--hole", metavar="MM", help="Clearance hole under the head, in mm.")]
Unit = Annotated[str, typer.Option("--unit", metavar="UNIT", help="Unit of the torque: N*m, lbf*ft, lbf*in, kgf*m …")]
Steps = Annotated[bool, typer.Option("--why", help="Show the sum step by step.")]


@calc.command()
def torque(
    thread: Thread,
    grade: Grade,
    mu: Mu = None,
    condition: Condition = None,
    share: Annotated[float, typer.Option("--share", metavar="SHARE", help="Share of the strength that is used.")] = 0.9,
    of: Annotated[str, typer.Option("--of", metavar="WHAT", help="What the share is of: yield (torsion counted) or proof.")] = "yield",
    head: Head = "hex",
    hole: Hole = None,
    as_json: AsJson = False,
    why: Steps = False,
) -> None:
    """The torque a bolt could take, and the range that friction gives it.

    Example: gudgeon calc torque --thread M10x1.5 --grade 8.8 --mu 0.12 --why
    """
    from gudgeon.trade import work_torque

    _show(work_torque(_bolt(thread, grade, mu, condition, head, hole), share=share, of=of), as_json=as_json, why=why)


@calc.command()
def preload(
    torque: Annotated[float, typer.Option("--torque", metavar="VALUE", help="The torque that was set.")],
    thread: Thread,
    grade: Grade,
    unit: Unit = "N*m",
    mu: Mu = None,
    condition: Condition = None,
    head: Head = "hex",
    hole: Hole = None,
    as_json: AsJson = False,
    why: Steps = False,
) -> None:
    """What a torque pulls, and the share of the bolt's yield that it uses.

    Example: gudgeon calc preload --torque 48 --unit "N*m" --thread M10x1.5 --grade 8.8 --mu 0.12
    """
    from gudgeon.trade import read_unit, work_preload

    _show(work_preload(_bolt(thread, grade, mu, condition, head, hole), torque=torque, unit=read_unit(unit)), as_json=as_json, why=why)


@calc.command()
def adapter(
    wanted: Annotated[float, typer.Option("--wanted", metavar="VALUE", help="The torque wanted at the fastener.")],
    length: Annotated[float, typer.Option("--length", metavar="L", help="From the wrench's square to the middle of its grip.")],
    reach: Annotated[float, typer.Option("--reach", metavar="E", help="From the square to the fastener, in the same unit as --length.")],
    unit: Unit = "N*m",
    angle: Annotated[float, typer.Option("--angle", metavar="DEG", help="0 straight on, 90 square to the handle.")] = 0.0,
    as_json: AsJson = False,
    why: Steps = False,
) -> None:
    """What to set on a torque wrench with an adapter or crowfoot on it.

    Example: gudgeon calc adapter --wanted 100 --unit "N*m" --length 500 --reach 150
    """
    from gudgeon.trade import read_unit, work_adapter

    _show(work_adapter(wanted=wanted, unit=read_unit(unit), length=length, reach=reach, angle_deg=angle), as_json=as_json, why=why)


@calc.command()
def insert(thread: Thread, as_json: AsJson = False, why: Steps = False) -> None:
    """Drill, tap and lengths of a wire-thread insert for a stripped thread.

    Example: gudgeon calc insert --thread M8x1.25
    """
    from gudgeon.cli.wiring import trade
    from gudgeon.trade import work_insert

    _show(work_insert(trade(), thread=thread), as_json=as_json, why=why)


@calc.command(context_settings={"ignore_unknown_options": True})
def convert(
    value: Annotated[float, typer.Argument(metavar="VALUE", help="The figure.")],
    unit_from: Annotated[str, typer.Argument(metavar="FROM", help="Its unit, such as lbf*ft, Nm, thou, psi.")],
    unit_to: Annotated[str, typer.Argument(metavar="TO", help="The unit wanted.")],
    as_json: AsJson = False,
    why: Steps = False,
) -> None:
    """A value in another unit, by exact factors.

    Example: gudgeon calc convert 35 "lbf*ft" "N*m"
    """
    from gudgeon.trade import read_unit, work_convert

    _show(work_convert(value=value, unit_from=read_unit(unit_from), unit_to=read_unit(unit_to)), as_json=as_json, why=why)


def _bolt(thread: str, grade: str, mu: float | None, condition: str | None, head: str, hole: float | None) -> Bolt:
    from gudgeon.cli.wiring import trade
    from gudgeon.domain import BadInput
    from gudgeon.trade import bolt_of, read_grade

    if head not in {"hex", "socket", "flange"}:
        raise BadInput(f"gudgeon has no head “{head}”.", next_step="It has hex, socket and flange.")
    return bolt_of(trade(), thread=thread, grade=read_grade(grade), mu=mu, condition=condition, head=head, hole_mm=hole)


def _show(worked: Worked, *, as_json: bool, why: bool) -> None:
    from textwrap import wrap

    from gudgeon.cli.show import print_json, width

    if as_json:
        row = {"schema": 1, **worked.values, "formula": worked.formula} | ({"steps": list(worked.steps)} if why else {})
        print_json(row | {"sources": list(worked.sources), "cautions": list(worked.cautions)})
        return
    lines = [worked.answer, "", *(f"  {step}" for step in worked.steps if why), *([""] if why else [])]
    lines += [f"Formula: {worked.formula}", *(f"Source: {source}" for source in worked.sources), "", *(f"! {text}" for text in worked.cautions)]
    for line in lines:
        print("\n".join(wrap(line, width(), subsequent_indent="    ", break_long_words=False)))
