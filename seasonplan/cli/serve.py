"""`seasonplan serve`: a live page for the phone in the garden."""

from __future__ import annotations

import secrets
import socket
import time
from contextlib import suppress
from datetime import datetime
from pathlib import Path

import click

from seasonplan.cli import common
from seasonplan.errors import OutputBlocked, SeasonplanError

KEY_FILE = "live-page.key"
PORT = 8674


@click.command()
@common.folders_argument
@click.option("--lan", is_flag=True, help="For the phones on the home network: prints an address, its QR code and a "
              "pairing word.")
@click.option("--port", type=click.IntRange(1, 65535), default=PORT, show_default=True, help="The port to listen on.")
@click.option("--new-word", is_flag=True, help="A new pairing word and calendar address; phones pair again.")
@click.option("--offline", is_flag=True, help="Never use the network; normals by URL come from the cache.")
@click.option("--user-agent", help=common.USER_AGENT_HELP)
@common.own_hands_option
@click.option("--today", type=common.IsoDate(), help="Serve as if it were this day; default: the clock's, day by day.")
def serve(folders, lan, port, new_word, offline, user_agent, own_hands, today) -> None:
    """A live page: today's jobs to tick, pests found, plants bought, alerts.

    \b
    On this machine only, unless --lan is given. It writes the same log and
    files as the other commands, and plans again after each change. Needs
    `pip install seasonplan[serve]`. Ctrl+C ends it.

    \b
    Example:
      seasonplan serve my-garden --lan
    """
    uvicorn = _uvicorn()
    from seasonplan import workflow
    from seasonplan.serve.app import application
    from seasonplan.serve.guard import Guard, hosts_of
    from seasonplan.serve.household import Household

    places = workflow.Folders.of(folders)
    house = Household(places, (lambda: today) if today else (lambda: datetime.now().date()),
                      lambda: f"{datetime.now():%H:%M}", common.fetcher(offline, user_agent), own_hands)
    common.say(f"Planning {', '.join(str(folder) for folder in folders)} ...")
    house.start()
    try:
        guard = Guard(_secret(places.together or places.targets[0], new_word),
                      hosts_of(["127.0.0.1", "localhost", "::1", *(own_addresses() if lan else [])], port), lan)
        listening = _listen("0.0.0.0" if lan else "127.0.0.1", port)
        _tell(guard, lan, port)
        server = uvicorn.Server(uvicorn.Config(application(house, guard, time.monotonic), log_level="warning",
                                               server_header=False, lifespan="off", timeout_graceful_shutdown=3))
        server.run(sockets=[listening])
    finally:
        house.stop()


def _uvicorn():
    try:
        import starlette  # noqa: F401
        import uvicorn
    except ImportError:
        raise _Missing("The live page needs two more libraries: pip install 'seasonplan[serve]'") from None
    return uvicorn


class _Missing(SeasonplanError):
    """A library of the extra is not installed."""


def _listen(address: str, port: int) -> socket.socket:
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((address, port))
    except OSError as wrong:
        listening.close()
        raise OutputBlocked(f"Port {port} cannot be used ({wrong.strerror}). Is another one running? --port takes "
                            "another number.") from None
    return listening


def own_addresses() -> list[str]:
    """This machine's addresses on its networks: the one that leads out first. No packet is sent."""
    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, suppress(OSError):
        probe.connect(("192.0.2.1", 9))           # RFC 5737: nobody's address
        found.append(probe.getsockname()[0])
    with suppress(OSError):
        found += [str(info[4][0]) for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
    return [address for address in dict.fromkeys(found) if not address.startswith("127.")]


def _secret(where: Path, new: bool) -> bytes:
    """The secret that pairing word, cookie and calendar address are made of; kept so that phones stay paired."""
    from seasonplan.files import read_if_there, write_all

    known = read_if_there(where / KEY_FILE)
    if known is not None and len(known) >= 32 and not new:
        return known.strip()
    made = secrets.token_hex(32).encode()
    write_all(where, {KEY_FILE: made})
    return made


def _tell(guard, lan: bool, port: int) -> None:
    addresses = own_addresses() if lan else []
    if lan and not addresses:
        common.say("This machine has no address on a network; the page is for itself only.")
    common.say(f"\nOn this machine: http://127.0.0.1:{port}/"
               + (f"   pairing word: {guard.word}" if lan else ""))
    for address in addresses:
        common.say(f"On the home network: http://{address}:{port}/   pairing word: {guard.word}")
    if addresses:
        common.say(_qr(f"http://{addresses[0]}:{port}/pair?word={guard.word}"))
        common.say("Whoever is on this network and has the word can read and change the plan. Nothing is encrypted.")
    where = addresses[0] if addresses else "127.0.0.1"
    common.say(f"Calendar to subscribe to: http://{where}:{port}/calendar/{guard.calendar_key}.ics")
    common.say("Ctrl+C ends it.")


def _qr(address: str) -> str:
    """The address as a QR code of half blocks; empty where the library is missing."""
    import io

    try:
        import segno
    except ImportError:
        return ""
    out = io.StringIO()
    segno.make(address, error="l").terminal(out, compact=True)
    return out.getvalue()
