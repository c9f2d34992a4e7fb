"""`ringland serve`: the bench page, for this machine or for others in the local network."""

import socket
import uuid
from pathlib import Path

import click

from ringland.bench.called import command
from ringland.cli.opening import STORE, Stopped, clock, person, store_path

PORT = 8124
GRACE = 1  # s that open requests get when the server stops


@click.command()
@click.option(
    "--store",
    type=click.Path(path_type=Path),
    help="The store's file or folder [default: your data folder].",
)
@click.option("--port", default=PORT, show_default=True, type=click.IntRange(1, 65535))
@click.option("--lan", is_flag=True, help="Let paired devices in this network reach the page.")
@click.option("--tls", is_flag=True, help="Serve https with the certificate of `ringland cert`.")
@click.option("--host", "names", multiple=True, help="Another name this machine is called by.")
@click.option("--by", help="Who works at this machine [default: $RINGLAND_BY or your user name].")
def serve(
    store: Path | None, port: int, lan: bool, tls: bool, names: tuple[str, ...], by: str | None
) -> None:
    """Serve the bench page: the whole job in a browser, on this machine only unless --lan."""
    import uvicorn

    from ringland.store import StoreError, open_store
    from ringland.web.app import create_app
    from ringland.web.certificate import authority_file, server_files
    from ringland.web.devices import Devices
    from ringland.web.shed import Shed

    path = store_path(store, or_new=True)
    try:
        log = open_store(path)
    except StoreError as error:
        raise Stopped(str(error), STORE) from None
    folder = path.parent / "ringland-server"
    shed = Shed(log, clock, lambda: uuid.uuid4().hex, by or person(), folder)
    hosts = (*names, *(_addresses() if lan else ()))
    keys = server_files(folder) if tls else None
    if tls and keys is None:
        raise Stopped(f"there is no certificate yet: {command('cert')}", 2)
    scheme = "https" if tls else "http"
    address = f"{scheme}://{hosts[0] if hosts else 'localhost'}:{port}"
    devices = Devices(folder / "devices.json", tls, clock) if lan else None
    authority = authority_file(folder)
    app = create_app(
        shed,
        hosts=hosts,
        devices=devices,
        lan=address,
        authority=str(authority) if authority.exists() else "",
    )
    _say(address, devices, port, scheme)
    try:
        uvicorn.run(
            app,
            host="0.0.0.0" if lan else "127.0.0.1",
            port=port,
            log_level="warning",
            timeout_graceful_shutdown=GRACE,
            ssl_certfile=str(keys[0]) if keys else None,
            ssl_keyfile=str(keys[1]) if keys else None,
        )
    finally:
        log.close()


def _say(address: str, devices: object, port: int, scheme: str) -> None:
    click.echo(f"The bench page: {scheme}://localhost:{port}   (Ctrl-C ends it)")
    if devices is None:
        return
    from ringland.web.devices import Devices

    assert isinstance(devices, Devices)
    code = devices.new_code()
    click.echo(f"For other devices: {address}/pair")
    click.echo(
        f"Code, for two minutes: {code[:4]} {code[4:]}. A new one: open Devices on this page."
    )
    import segno

    segno.make(f"{address}/pair#{code}", error="m").terminal(compact=True)


def _addresses() -> tuple[str, ...]:
    """Return the addresses and the name of this machine in its network; nothing is sent."""
    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # documentation range: only asks the routing table
            found.append(probe.getsockname()[0])
        except OSError:
            pass
    name = socket.gethostname().casefold()
    return tuple(dict.fromkeys([*found, name, f"{name}.local"]))


@click.command()
@click.option("--store", type=click.Path(path_type=Path), help="The store's file or folder.")
@click.option("--host", "names", multiple=True, help="Another name this machine is called by.")
def cert(store: Path | None, names: tuple[str, ...]) -> None:
    """Make the certificate with which other devices trust this server, once."""
    from ringland.web.certificate import authority_file, make

    folder = store_path(store, or_new=True).parent / "ringland-server"
    hosts = ("localhost", "127.0.0.1", *_addresses(), *names)
    make(folder, hosts, clock())
    click.echo(f"made for {', '.join(hosts)}")
    click.echo(f"trust on each device, once: {authority_file(folder)}")
    click.echo(f"  next   {command('serve --lan --tls')}, then open /trust on the device")
