"""`ringland sheet`: engine sheets and leaflets as files: new, check, show, missing, schema, read-back."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from ringland.cli.lazy import LazyGroup
from ringland.cli.opening import REFUSED, Stopped, as_json_option, refusals
from ringland.cli.screen import say, width

if TYPE_CHECKING:
    from ringland.sheet.load import Loaded

_HERE = "ringland.cli.sheet"
COMMANDS = {
    "new": ("ringland.cli.sheet_new:new", "Type in the few figures of a scope, asked one by one."),
    "check": (f"{_HERE}:check", "Name every problem of sheets and leaflets, each with its place."),
    "show": (f"{_HERE}:show", "The figures in force, their pages, who read them back."),
    "missing": (f"{_HERE}:missing", "What is not given, and what that blocks."),
    "read-back": ("ringland.cli.sheet_read_back:read_back", "Read the figures against the manual."),
    "schema": (f"{_HERE}:schema", "The JSON Schema of a sheet, for an editor."),
}


@click.group(cls=LazyGroup, table=COMMANDS)
def sheet() -> None:
    """Engine sheets: an engine's figures, as text files typed from the maker's manual."""


_file = click.argument("file", type=click.Path(path_type=Path))
_variant = click.option("--variant", help="Show it as this variant of the sheet.")


@click.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--for",
    "engine",
    type=click.Path(path_type=Path),
    help="The engine sheet that leaflets are checked against.",
)
def check(files: tuple[Path, ...], engine: Path | None) -> None:
    """Name every problem of sheets and leaflets, each with its place.

    A leaflet (a file that begins with 'part:') is checked against its engine sheet: one given with
    --for, or one of FILES that it names.
    """
    from ringland.bench.sheet_checks import check_files

    lines, problems = check_files(files, engine)
    for line in lines:
        click.echo(line)
    if problems:
        count = f"{len(problems)} problem{'s' if len(problems) > 1 else ''}"
        raise Stopped("\n".join([*problems, count]), REFUSED)


@click.command()
@_file
@_variant
@click.option("-a", "--all", "more", is_flag=True, help="Also what is rarely called for.")
@as_json_option
def show(file: Path, variant: str | None, more: bool, as_json: bool) -> None:
    """Show the figures in force: page, who read them back, common practice where none is given."""
    from ringland.report.json import as_json as rendered
    from ringland.report.sheets import sheet_text
    from ringland.sheet.showing import sheet_view

    loaded = _load(file, variant)
    view = sheet_view(loaded, _load(file) if variant else loaded, variant or "")
    text = sheet_text(view, everything=more, width=width())
    say(rendered(view) if as_json else text, plain=as_json)


@click.command()
@_file
@_variant
@click.option("--scope", help="ring, piston, full or open [default: all].")
@as_json_option
def missing(file: Path, variant: str | None, scope: str | None, as_json: bool) -> None:
    """Show what is not given, and what that blocks. Nothing is guessed."""
    from ringland.bench.sheets import scope_named
    from ringland.report.json import as_json as rendered
    from ringland.report.sheets import missing_text
    from ringland.sheet.missing import missing as not_given
    from ringland.sheet.model import SCOPES

    with refusals():
        known = scope_named(scope) if scope else None
    loaded = _load(file, variant)
    found = not_given(loaded.sheet, loaded.figures, known)
    words = SCOPES[known] if known else ""
    text = missing_text(loaded.sheet.engine, words, found, str(file), width=width())
    say(rendered(found) if as_json else text, plain=as_json)


@click.command()
@click.option("--leaflet", is_flag=True, help="The schema of a part's leaflet.")
@click.option("-o", "--output", type=click.Path(path_type=Path), help="Write it to a file.")
def schema(leaflet: bool, output: Path | None) -> None:
    """Print the JSON Schema of an engine sheet, so that an editor checks while you type.

    With an editor that knows YAML schemas, put on the sheet's first line:
    # yaml-language-server: $schema=sheet.schema.json
    """
    import json

    from ringland.bench.sheet_files import replace_text
    from ringland.bench.sheets import common_sheets
    from ringland.sheet.load import load_common
    from ringland.sheet.schema import leaflet_schema, sheet_schema

    commons = [load_common(text, f"{name}.yaml").sheet for name, text in common_sheets().items()]
    found = leaflet_schema(commons) if leaflet else sheet_schema(commons)
    text = json.dumps(found, ensure_ascii=False, indent=1) + "\n"
    if output is None:
        click.echo(text, nl=False)
        return
    with refusals():
        replace_text(output, text)
    click.echo(f"Written: {output}")


def _load(file: Path, variant: str | None = None) -> "Loaded":
    from ringland.bench.sheets import load

    with refusals():
        return load(file, variant)
