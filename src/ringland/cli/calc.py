"""`ringland calc NAME`: each calculator's fields become the options of a command."""

from typing import Any

import click

from ringland.bench.called import command
from ringland.calc import CALCULATORS, find
from ringland.calc.calculator import BadInputs, Calculator, Field
from ringland.cli.lazy import LazyGroup


class CalculatorGroup(LazyGroup):
    """The calculators by name; a calculator's module is imported when it is used."""

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        return _command(find(cmd_name)) if cmd_name in CALCULATORS else None


@click.group(cls=CalculatorGroup, table={name: (name, line) for name, line in CALCULATORS.items()})
def calc() -> None:
    """Answer one question without a job."""


def _option(each: Field) -> click.Option:
    # a default stands in the help; the calculator itself applies it, for page and command alike
    aside = f"default: {each.default}" if each.default else "needed" if each.required else ""
    text = each.help + (f"  [{aside}]" if aside else "")
    metavar = "|".join(each.choices) if each.choices else each.kind.upper()
    return click.Option([f"--{each.name}"], help=text, multiple=each.many, metavar=metavar)


def _command(calculator: Calculator) -> click.Command:
    def run(as_json: bool, svg: str | None, **typed: Any) -> None:
        from ringland.report import answer as rendering

        texts = {name.replace("_", "-"): text for name, text in typed.items() if text}
        for each in calculator.fields:
            if each.kind == "csv" and each.name in texts:
                texts[each.name] = _text_of(each.name, texts[each.name])
        try:
            answer = calculator.answer(texts)
        except BadInputs as error:
            raise click.UsageError(
                "\n".join(f"--{name}: {message}" for name, message in error.problems)
            ) from None
        if svg is not None:
            if answer.svg is None:
                raise click.UsageError(f"{calculator.name} has no drawing")
            _write(svg, answer.svg())
        click.echo(rendering.as_json(answer) if as_json else rendering.as_text(answer))
        if svg is not None:
            click.echo(f"drawing: {svg}", err=True)

    options: list[click.Parameter] = [_option(each) for each in calculator.fields]
    options.append(click.Option(["--json", "as_json"], is_flag=True, help="Print for a program."))
    options.append(click.Option(["--svg"], type=click.Path(dir_okay=False), help="Draw to a file."))
    epilog = f"Example: {command(f'calc {calculator.example}')}" if calculator.example else None
    return click.Command(
        calculator.name, callback=run, params=options, help=calculator.title, epilog=epilog
    )


def _text_of(name: str, path: str) -> str:
    try:
        with open(path, encoding="utf-8-sig") as file:
            return file.read()
    except (OSError, UnicodeDecodeError) as error:
        raise click.UsageError(f"--{name}: {path} cannot be read: {error}") from None


def _write(path: str, text: str) -> None:
    try:
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
    except OSError as error:
        raise click.UsageError(f"--svg: {path} cannot be written: {error}") from None
