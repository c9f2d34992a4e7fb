"""A group of commands whose modules are imported only when one of them is used."""

from collections.abc import Mapping
from importlib import import_module
from typing import Any

import click


class LazyGroup(click.Group):
    """A click group over a table: name -> ("module:attribute", the line that `--help` shows)."""

    def __init__(self, *args: Any, table: Mapping[str, tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.table = table

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.table)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.table:
            return None
        module, attribute = self.table[cmd_name][0].split(":")
        command = getattr(import_module(module), attribute)
        assert isinstance(command, click.Command)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in self.table and not args[0].startswith("-"):
            from difflib import get_close_matches  # only a misspelling pays for it

            near = get_close_matches(args[0], self.table, 1)
            hint = f" Did you mean {near[0]}?" if near else ""
            ctx.fail(f"There is no command {args[0]!r} here.{hint}")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in self.table.items()])
