"""Where forecasts come from: two public services through the door, or a file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal
from functools import partial

from seasonplan.errors import Fault, InputFaults, SourceUnavailable
from seasonplan.model import Forecast, Site
from seasonplan.weather import gridpoints, locationforecast
from seasonplan.weather.door import Door, Reply
from seasonplan.weather.forecast_table import read_table_forecast
from seasonplan.weather.night_hours import with_note
from seasonplan.weather.reading import ForecastUnreadable, json_object, part

MET_NORWAY_URL = "https://api.met.no/weatherapi/locationforecast/2.0"
NWS_URL = "https://api.weather.gov"
POSITION_DECIMALS = 4
"""More decimals of a position are refused by one service and redirected by the other; digits are dropped, not
rounded. MET Norway, Terms of Service; about 11 m of latitude."""


def met_norway(door: Door, site: Site, base_url: str = MET_NORWAY_URL) -> Forecast:
    """The forecast of MET Norway for the site's position and height. Raises SourceUnavailable."""
    query = f"altitude={round(site.elevation_m)}&lat={decimals(site.latitude_deg)}&lon={decimals(site.longitude_deg)}"
    return _fetch(door, f"{base_url}/complete?{query}", locationforecast.SOURCE,
                  partial(locationforecast.parse, site=site))


def nws(door: Door, site: Site, base_url: str = NWS_URL) -> Forecast:
    """The forecast of the US National Weather Service for the site's grid cell. Raises SourceUnavailable."""
    url = f"{base_url}/points/{decimals(site.latitude_deg)},{decimals(site.longitude_deg)}"
    try:
        point = door.get(url, gridpoints.SOURCE, _grid_address)
        address = _grid_address(point.content)
    except SourceUnavailable as error:
        outside = " It covers the United States and their territories only." if "HTTP 404" in error.reason else ""
        raise SourceUnavailable(error.source, error.reason + outside) from None
    except ForecastUnreadable as error:
        raise _unusable(gridpoints.SOURCE, error) from None
    return _fetch(door, address, gridpoints.SOURCE, partial(gridpoints.parse, site=site))


@dataclass(frozen=True)
class Service:
    """A public service. fetch: asks it through the door; parse: reads a document of its that was saved to disk, and
    held: a key of such a document's `properties` that no other service's has."""

    source: str
    fetch: Callable[[Door, Site], Forecast]
    parse: Callable[[bytes, Site], Forecast]
    held: str


SERVICES = {
    "met-norway": Service(locationforecast.SOURCE, met_norway, locationforecast.parse, "timeseries"),
    "nws": Service(gridpoints.SOURCE, nws, gridpoints.parse, "minTemperature"),
}
"""Every service, by the name that `--forecast` takes."""


def read_forecast(content: bytes, site: Site, name: str) -> Forecast:
    """The forecast in a file: a table (forecast_table), or either service's JSON saved to disk.

    name: the file's name for messages. Raises InputFaults.
    """
    start = content.lstrip(b"\xef\xbb\xbf \t\r\n")[:1]
    if start not in (b"{", b"[", b"<"):
        return read_table_forecast(content, site, name)
    try:
        if start == b"<":
            raise ForecastUnreadable("", "it is a web page or XML", "a table date,tmin_c or a service's JSON")
        parse, source = _reader_for(json_object(content))
        return with_note(parse(content, site), f"Forecast of {source}, read from {name}.")
    except ForecastUnreadable as error:
        raise InputFaults([Fault(name, 0, error.place, error.found, error.allowed, error.cause)]) from None


def decimals(degrees: float) -> str:
    """A coordinate with at most POSITION_DECIMALS decimals, the rest cut off, no trailing zeros: "59.9133"."""
    cut = Decimal(repr(float(degrees))).quantize(Decimal(1).scaleb(-POSITION_DECIMALS), ROUND_DOWN)
    return f"{cut.normalize() + 0:f}"


def _fetch(door: Door, url: str, source: str, parse: Callable[[bytes], Forecast]) -> Forecast:
    reply: Reply = door.get(url, source, parse)
    try:
        return with_note(parse(reply.content), reply.note)
    except ForecastUnreadable as error:
        raise _unusable(source, error) from None


def _unusable(source: str, error: ForecastUnreadable) -> SourceUnavailable:
    return SourceUnavailable(source, f"the copy in the cache cannot be used ({error}).")


def _grid_address(content: bytes) -> str:
    """Where a `points` answer says the grid cell's forecast is."""
    address = part(json_object(content), "properties.forecastGridData", str)
    if not address.startswith(("https://", "http://")):
        raise ForecastUnreadable("properties.forecastGridData", f"found {address!r:.60}", "a web address")
    return address


def _reader_for(root: dict) -> tuple[Callable[[bytes, Site], Forecast], str]:
    """Which service a saved document is from, by what it holds."""
    held = root.get("properties")
    held = held if isinstance(held, dict) else {}
    for service in SERVICES.values():
        if service.held in held:
            return service.parse, service.source
    hint = f"Save what its forecastGridData address gives: {held['forecastGridData']}" \
        if isinstance(held.get("forecastGridData"), str) else ""
    wanted = " or ".join(each.held for each in SERVICES.values())
    raise ForecastUnreadable("properties", f"no {wanted} is there",
                             "the `complete` JSON of MET Norway, or the forecastGridData JSON of the US National "
                             "Weather Service", hint)
