"""`seasonplan nights`, `light` and `catalogue`: look at the numbers behind a plan."""

from __future__ import annotations

from datetime import date

import click

from seasonplan.cli import common

IN_DETAIL = 3
"""Up to so many plants are shown with the evidence behind every figure."""
USUAL_THRESHOLDS_C = (0.0, 5.0, 7.0, 10.0, 13.0)


@click.command()
@common.folder_argument
@click.option("-t", "--threshold", "thresholds", type=common.NightLow(), multiple=True,
              help="Night low, °C unless marked: 10 or 50f. May be repeated.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option("--offline", is_flag=True, help="Never use the network; normals by URL come from the cache.")
def nights(folder, thresholds, as_json, offline) -> None:
    """When nights this cold end in spring and begin in autumn, and how many to expect.

    \b
    Example:
      seasonplan nights my-garden -t 10 -t 50f
    """
    import seasonplan.outputs.documents as documents
    import seasonplan.outputs.terminal as terminal
    from seasonplan.climate.nights import night_climate
    from seasonplan.climate.passage import night_tables
    from seasonplan.climate.recorded import recorded_tables

    [scenario] = common.load_all([folder], common.fetcher(offline, None))
    climate = night_climate(scenario.normals, scenario.record, scenario.site)
    levels = sorted(set(thresholds or USUAL_THRESHOLDS_C))
    tables = night_tables(climate, levels)
    recorded = recorded_tables(scenario.record, scenario.site, levels, climate) if scenario.record is not None else None
    if as_json:
        common.say(documents.to_json(documents.nights_document(scenario.site, scenario.normals, tables, recorded,
                                                              climate)), nl=False)
    else:
        common.say(terminal.nights_table(scenario, climate, tables, recorded, colour=common.wants_colour(),
                                         width=common.width()))


@click.command()
@common.folder_argument
@click.option("--json", "as_json", is_flag=True, help="Print JSON, every day of the planning year.")
@click.option("--on", "on_day", type=common.IsoDate(), help="The hours when sun reaches each place on this date.")
@click.option("--offline", is_flag=True, help="Never use the network; normals by URL come from the cache.")
@common.today_option
def light(folder, as_json, on_day: date | None, offline, today) -> None:
    """How much light each place gets through the year.

    \b
    Example:
      seasonplan light my-garden --on 2027-06-01
    """
    import seasonplan.outputs.documents as documents
    import seasonplan.outputs.terminal as terminal
    from seasonplan.dates import next_season_year, planning_days
    from seasonplan.sky.daylight import daylight

    [scenario] = common.load_all([folder], common.fetcher(offline, None))
    site = scenario.site
    year = scenario.rules.year or next_season_year(on_day or today, site.latitude_deg)
    days = planning_days(year, site.latitude_deg)
    if on_day is not None and not days[0] <= on_day <= days[-1]:
        raise click.UsageError(f"--on {on_day}: the planning year runs from {days[0]} to {days[-1]}")
    table = daylight(site, scenario.places, scenario.normals, days)
    if as_json:
        common.say(documents.to_json(documents.light_document(table, scenario.places)), nl=False)
    else:
        common.say(terminal.light_table(scenario, table, on_day, colour=common.wants_colour(), width=common.width()))


@click.command()
@click.argument("words", nargs=-1)
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def catalogue(words, as_json) -> None:
    """Look plants up by botanical, common, old or trade name.

    \b
    Example:
      seasonplan catalogue snake plant
    """
    import seasonplan.outputs.documents as documents
    import seasonplan.outputs.terminal as terminal
    from seasonplan.inputs import catalogue as plants

    found = plants.find(" ".join(words)) if words else list(plants.catalogue())
    understood = plants.understand(" ".join(words)) if words and found else None
    note = understood.note if understood is not None and not understood.near else ""
    look = common.wants_colour(), common.width()
    evidence = {taxon.key: plants.evidence(taxon.key) for taxon in found} if words else {}
    if as_json:
        common.say(documents.to_json(documents.catalogue_document(found, evidence)), nl=False)
    elif not found:
        near = plants.nearest(" ".join(words))
        hint = f" Did you mean {', '.join(near)}?" if near else ""
        raise click.UsageError(f"no plant matches '{' '.join(words)}'.{hint}")
    elif understood is not None and understood.taxon is not None:
        common.say(terminal.catalogue_details([understood.taxon], evidence, note, *look))
    elif understood is not None and understood.choices and not understood.near:
        common.say(terminal.catalogue_table(understood.choices, note, *look))
    elif len(found) <= IN_DETAIL:
        common.say(terminal.catalogue_details(found, evidence, note, *look))
    else:
        common.say(terminal.catalogue_table(found, note, *look))
