"""Where forecasts come from: public services through the door, or a file. The table SOURCES is all there is to know of
a service; how to add one stands in DEVELOPERS.md."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal

from seasonplan.errors import Fault, InputFaults, SourceUnavailable
from seasonplan.model import Forecast, Site
from seasonplan.weather import ensemble, gridpoints, locationforecast
from seasonplan.weather.door import Door
from seasonplan.weather.forecast_table import read_table_forecast
from seasonplan.weather.night_hours import with_note
from seasonplan.weather.reading import ForecastUnreadable, json_object, part

POSITION_DECIMALS = 4
"""More decimals of a position are refused by one service and redirected by the other; digits are dropped, not
rounded. MET Norway, Terms of Service; about 11 m of latitude."""


@dataclass(frozen=True)
class Source:
    """A forecast service. key: what the person types; name: for messages; covers, licence: for the person; parse: its
    document to a Forecast; holds: whether a saved JSON document is one of its own; saved: what to save, for messages;
    address: the URL for a site; base_url: where it lives; points: reads the address of the forecast out of what stands
    at `address` first, None where that is the forecast; needs_contact: why it wants a User-Agent that names a contact,
    "" where it does not."""

    key: str
    name: str
    covers: str
    licence: str
    parse: Callable[[bytes, Site], Forecast]
    holds: Callable[[dict], bool]
    saved: str
    base_url: str
    address: Callable[[Site], str]
    points: Callable[[bytes], str] | None = None
    needs_contact: str = ""

    def fetch(self, door: Door, site: Site, base_url: str = "") -> Forecast:
        """The forecast for a site. Raises SourceUnavailable."""
        if self.needs_contact and not door.offline and not door.names_a_contact:
            raise SourceUnavailable(self.name, f"{self.needs_contact} Give yours: --user-agent \"you@example.org\". "
                                    "Nothing was asked.")
        url = (base_url or self.base_url) + self.address(site)
        return self._read(door, self._pointed_to(door, url) if self.points else url, site)

    def _pointed_to(self, door: Door, url: str) -> str:
        assert self.points is not None
        try:
            return self.points(door.get(url, self.name, self.points).content)
        except SourceUnavailable as error:
            outside = f" It covers {self.covers} only." if "HTTP 404" in error.reason else ""
            raise SourceUnavailable(error.source, error.reason + outside) from None
        except ForecastUnreadable as error:
            raise self._unusable(error) from None

    def _read(self, door: Door, url: str, site: Site) -> Forecast:
        reply = door.get(url, self.name, lambda content: self.parse(content, site))
        try:
            return with_note(self.parse(reply.content, site), reply.note)
        except ForecastUnreadable as error:
            raise self._unusable(error) from None

    def _unusable(self, error: ForecastUnreadable) -> SourceUnavailable:
        return SourceUnavailable(self.name, f"the copy in the cache cannot be used ({error}).")


def decimals(degrees: float) -> str:
    """A coordinate with at most POSITION_DECIMALS decimals, the rest cut off, no trailing zeros: "59.9133"."""
    cut = Decimal(repr(float(degrees))).quantize(Decimal(1).scaleb(-POSITION_DECIMALS), ROUND_DOWN)
    return f"{cut.normalize() + 0:f}"


def _grid_address(content: bytes) -> str:
    """Where a `points` answer of the US service says the grid cell's forecast is."""
    address = part(json_object(content), "properties.forecastGridData", str)
    if not address.startswith(("https://", "http://")):
        raise ForecastUnreadable("properties.forecastGridData", f"found {address!r:.60}", "a web address")
    return address


def _properties(root: dict) -> dict:
    held = root.get("properties")
    return held if isinstance(held, dict) else {}


def _position(site: Site) -> tuple[str, str]:
    return decimals(site.latitude_deg), decimals(site.longitude_deg)


SOURCES = {source.key: source for source in (
    Source("met-norway", locationforecast.SOURCE, "anywhere in the world", "CC BY 4.0", locationforecast.parse,
           lambda root: "timeseries" in _properties(root), "the `complete` JSON of MET Norway",
           "https://api.met.no/weatherapi/locationforecast/2.0",
           lambda site: "/complete?altitude={}&lat={}&lon={}".format(round(site.elevation_m), *_position(site)),
           needs_contact="Its terms of service ask for a User-Agent that says who you are and how to reach you."),
    Source("nws", gridpoints.SOURCE, "the United States and their territories", "public domain", gridpoints.parse,
           lambda root: bool({"minTemperature", "temperature"} & _properties(root).keys()),
           "the forecastGridData JSON of the US National Weather Service", "https://api.weather.gov",
           lambda site: "/points/{},{}".format(*_position(site)), points=_grid_address),
    Source("open-meteo", ensemble.SOURCE, "anywhere in the world", "CC BY 4.0", ensemble.parse,
           lambda root: isinstance(root.get("hourly"), dict), "the ensemble JSON of Open-Meteo",
           "https://ensemble-api.open-meteo.com/v1",
           lambda site: ("/ensemble?latitude={}&longitude={}&elevation={}&hourly={}&models={}&forecast_days=10"
                         "&wind_speed_unit=ms&timezone=GMT").format(*_position(site), round(site.elevation_m),
                                                                    ",".join(ensemble.VARIABLES), ensemble.MODEL)),
)}


def read_forecast(content: bytes, site: Site, name: str) -> Forecast:
    """The forecast in a file: a table (forecast_table), or a service's JSON saved to disk.

    name: the file's name for messages. Raises InputFaults.
    """
    start = content.lstrip(b"\xef\xbb\xbf \t\r\n")[:1]
    if start not in (b"{", b"[", b"<"):
        return read_table_forecast(content, site, name)
    try:
        if start == b"<":
            raise ForecastUnreadable("", "it is a web page or XML", "a table date,tmin_c or a service's JSON")
        source = _source_of(json_object(content))
        return with_note(source.parse(content, site), f"Forecast of {source.name}, read from {name}.")
    except ForecastUnreadable as error:
        raise InputFaults([Fault(name, 0, error.place, error.found, error.allowed, error.cause)]) from None


def _source_of(root: dict) -> Source:
    """Which service a saved document is from, by what it holds."""
    for source in SOURCES.values():
        if source.holds(root):
            return source
    grid = _properties(root).get("forecastGridData")
    hint = f"Save what its forecastGridData address gives: {grid}" if isinstance(grid, str) else ""
    raise ForecastUnreadable("properties", "no forecast that we know is there",
                             ", or ".join(source.saved for source in SOURCES.values()), hint)
