"""`seasonplan start`: from a few answers to a scenario folder that plans."""

from __future__ import annotations

from pathlib import Path

import click

from seasonplan.cli import answers as ask
from seasonplan.cli import common
from seasonplan.errors import Fault, InputFaults


@click.command()
@common.folder_argument
@click.option("--name", help="What to call the place.")
@click.option("--latitude", type=click.FloatRange(-90, 90), help="Degrees, north positive.")
@click.option("--longitude", type=click.FloatRange(-180, 180), help="Degrees, east positive.")
@click.option("--elevation", type=float, help="Height above sea level, in metres (feet with --units imperial).")
@click.option("--timezone", help="Such as Europe/Oslo; left out: worked out from the longitude.")
@click.option("--units", type=click.Choice(["metric", "imperial"]), help="What to ask and print in.")
@click.option("--policy", type=click.Choice(["careful", "carry-in"]), help="careful: out late; carry-in: out early, "
              "and carry in on the odd cold night.")
@click.option("--move-days", help="Days you have, such as sat,sun; 'any' for every day.")
@click.option("--minutes", type=click.IntRange(10, 1440), help="Minutes you have on such a day.")
@click.option("--children/--no-children", default=None, help="Children in the household.")
@click.option("--pets/--no-pets", default=None, help="Pets in the household.")
@click.option("--normals", help="Twelve mean night lows, January first, separated by commas; or a file; or a URL.")
@click.option("--place", "places", multiple=True, metavar="TEXT",
              help='May be repeated: "porch: outdoor, faces=east, wall_behind=yes, roof_deg=55, room_for=12".')
@click.option("--plant", "plants", multiple=True, metavar="TEXT",
              help='May be repeated: "Big fig: Ficus elastica, count=2, pot=25, place=south window".')
@click.option("--no-ask", is_flag=True, help="Ask nothing: take the options, and the default for the rest.")
def start(folder: Path, no_ask: bool, **given) -> None:
    """Make a scenario folder by answering questions; every answer is also an option.

    \b
    Example:
      seasonplan start my-garden
    """
    taken = [name for name in ("scenario.toml", "plants.csv", "normals.csv") if (folder / name).exists()]
    if taken:
        raise InputFaults([Fault(str(folder / name), 0, "", "is already there", "a folder without it",
                                 "start never overwrites; choose another folder") for name in taken])
    from seasonplan.files import write_all
    from seasonplan.outputs.new_scenario import scenario_files

    found = ask.gather(given, talk=not no_ask)
    files = scenario_files(found)
    _refuse_faulty(files, folder)
    write_all(folder, files)
    common.say(f"\nWritten: {', '.join(common.shown(folder / name) for name in files)}")
    from seasonplan.cli.check import check

    click.get_current_context().invoke(check, folders=(folder,), quiet=False, offline=False, user_agent=None)
    common.say(f"Next: seasonplan plan {common.shown(folder)}")


def _refuse_faulty(files: dict[str, bytes], folder: Path) -> None:
    """Read the answers as a scenario before anything is written: wrong answers leave no folder behind."""
    from seasonplan.inputs.scenario import read_scenario

    read_scenario(files, str(folder), common.fetcher(False, None))
