"""`seasonplan towns`: what the package's table of towns knows of a name, with the normals estimated there."""

from __future__ import annotations

import click

from seasonplan.cli import common

MOST = 10
"""Towns that are shown of one name."""


@click.command()
@click.argument("words", nargs=-1)
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option("--units", type=click.Choice(["metric", "imperial"]), help="Left out: as the town's country measures.")
@click.option("--credits", "credited", is_flag=True, help="Where towns and normals come from.")
def towns(words, as_json, units, credited) -> None:
    """Look a town up: height, time zone, night lows, and how sure they are.

    \b
    Example:
      seasonplan towns leeds
    """
    import seasonplan.outputs.documents as documents
    import seasonplan.outputs.terminal_towns as terminal
    from seasonplan.atlas.estimate import estimated_normals
    from seasonplan.inputs.gathering import one_of
    from seasonplan.inputs.towns import find_towns, told_apart

    look = common.wants_colour(), common.width()
    if credited:
        common.say(terminal.credits_text(*look))
        return
    if not words:
        raise click.UsageError("name a town, such as: seasonplan towns leeds")
    found = find_towns(" ".join(words))
    if not found.towns:
        hint = f" Did you mean {one_of(found.near)}?" if found.near else ""
        raise click.UsageError(f"no town of 15,000 people or more is called '{' '.join(words)}'.{hint} In a scenario "
                               "latitude and longitude do as well.")
    shown = found.towns[:MOST]
    known = [(town, estimated_normals(town.latitude, town.longitude, town.elevation_m)) for town in shown]
    if as_json:
        common.say(documents.to_json(documents.towns_document(known)), nl=False)
    else:
        common.say(terminal.towns_text(known, told_apart(shown), len(found.towns), units, *look))
