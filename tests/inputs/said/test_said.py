"""Answers to `start`, as people type them: what is understood, what is asked, and what is refused with the choices."""

from dataclasses import replace

import pytest

from seasonplan.data import table
from seasonplan.inputs.gathering import Wrong, slips
from seasonplan.inputs.said.people import household_said, time_said
from seasonplan.inputs.said.places import outdoors_said, windows_said
from seasonplan.inputs.said.plants import plants_said
from seasonplan.inputs.said.where import whereabouts
from seasonplan.inputs.said.words import Asks


def rows(text, **how):
    return [(plant.count, plant.name, plant.taxon) for plant in plants_said(text, **how)]


@pytest.mark.parametrize("typed, row", [
    ("pothos", (1, "pothos", "epipremnum-aureum")), ("3 pothos", (3, "pothos", "epipremnum-aureum")),
    ("3x pothos", (3, "pothos", "epipremnum-aureum")), ("pothos x 3", (3, "pothos", "epipremnum-aureum")),
    ("pothos (3)", (3, "pothos", "epipremnum-aureum")), ("2 pots of pothos", (2, "pothos", "epipremnum-aureum")),
    ("a lemon tree", (1, "lemon tree", "citrus-x-limon")), ("two lemon trees", (2, "lemon trees", "citrus-x-limon")),
    ("Ficus elastica Burgundy", (1, "Ficus elastica Burgundy", "ficus-elastica")),
    ("Ficus elastica 'Burgundy'", (1, "Ficus elastica 'Burgundy'", "ficus-elastica")),
    ("monstara", (1, "monstera", "monstera-deliciosa")),
    ("2 bouganvillas", (2, "bougainvillea", "bougainvillea-glabra")),
    ("any fern", (1, "fern", "any-fern")),
])
def test_a_plant_as_people_write_it(typed, row):
    assert rows(typed) == [row]


def test_a_line_of_plants():
    found = plants_said("3 pothos, jade plant and lemon tree 30 cm; hibiscus in a 10 inch pot, pothos")
    assert [(p.name, p.count, p.pot_cm) for p in found] == [
        ("pothos", 3, None), ("jade plant", 1, None), ("lemon tree", 1, 30.0), ("hibiscus", 1, 25.4),
        ("pothos 2", 1, None)]
    assert found[2].sun == "sun" and all(plant.own is None for plant in found)


@pytest.mark.parametrize("typed, first", [("fern", "Boston fern"), ("3 palms", "parlor palm"), ("ivy", "English ivy")])
def test_a_name_of_many_is_answered_with_the_choices(typed, first):
    with pytest.raises(Asks) as asked:
        plants_said(f"pothos, {typed}, lemon tree")
    label, name = asked.value.options[0]
    assert label.startswith(first)
    chosen = plants_said(asked.value.complete(name))
    assert len(chosen) == 3 and chosen[1].count == (3 if typed[0] == "3" else 1) and first in chosen[1].name
    _, other = asked.value.options[-1]
    if typed != "ivy":
        assert plants_said(asked.value.complete(other))[1].taxon.startswith("any-")


def test_an_unknown_name_asks_two_questions():
    with pytest.raises(Asks, match="in no table") as cold:
        plants_said("2 blorfwort, jade plant")
    with pytest.raises(Asks, match="light") as light:
        plants_said(cold.value.complete("10"))
    found = plants_said(light.value.complete("sun"))
    assert found[0].own == (10.0, 14.0, 40.0) and found[0].count == 2 and found[1].name == "jade plant"
    assert plants_said("blorfwort (50f, shade)")[0].own == (10.0, 14.0, 8.0)
    assert plants_said("blorfwort (50, sun)", imperial=True)[0].own == (10.0, 14.0, 40.0)
    assert plants_said("blorfwort (?, half shade)")[0].own[0] == 12.0
    with pytest.raises(Wrong) as wrong:
        plants_said("blorfwort (50 °C, sun)")
    assert wrong.value.cause == "Is it 50 °F?"


def test_a_name_like_some_may_be_none_of_them():
    with pytest.raises(Asks, match="in no table") as asked:
        plants_said("2 aenium 20 cm")
    assert [label for label, _ in asked.value.options][::3] == [
        "tree aeonium (Aeonium arboreum)", 'none of these: "aenium (?)"']
    with pytest.raises(Asks, match="in no table") as cold:
        plants_said(asked.value.complete(asked.value.options[-1][1]))
    assert "How cold" in cold.value.question and cold.value.complete("5") == "2 aenium 20 cm (5 °C)"


def test_what_is_offered_can_be_typed():
    """Without a keyboard (an option of start) the choices are words to type, not numbers to press."""
    with pytest.raises(Asks, match="several") as asked:
        plants_said("4 succulents")
    label, _ = asked.value.options[-1]
    assert plants_said(f"4 {label.split(' (')[0]}")[0].taxon == "any-succulent"
    with pytest.raises(Asks, match="in no table") as cold:
        plants_said("aenium (?)")
    assert "How cold" in cold.value.question


@pytest.mark.parametrize("typed", ["", ",,", "12", "0 pothos", "999999 pothos", "pothos 2000 cm", "pothos\x1b"])
def test_what_is_no_plant_is_refused(typed):
    with pytest.raises(Wrong) as wrong:
        plants_said(typed)
    assert not isinstance(wrong.value, Asks) and wrong.value.allowed


def test_a_list_of_nothing_is_refused():
    for read in (lambda: windows_said(" ;, ", PLANTS, 51.0), lambda: outdoors_said(",")):
        with pytest.raises(Wrong, match="names no") as wrong:
            read()
        assert "or none" in wrong.value.allowed


def test_one_wrong_part_is_asked_for_alone():
    with pytest.raises(Asks, match="0 pots") as asks:
        plants_said("jade plant, 0 pothos, lemon tree")
    assert asks.value.said and [p.name for p in plants_said(asks.value.complete(""))] == ["jade plant", "lemon tree"]
    assert [p.name for p in plants_said(asks.value.complete("hibiscus"))][1] == "hibiscus"
    with pytest.raises(Asks, match="tulip") as asks:
        windows_said("south: pothos, tulip; north: the rest", PLANTS, 51.0)
    assert asks.value.complete("jade") == "south: pothos, jade; north: the rest"
    with pytest.raises(Asks, match="moon") as asks:
        outdoors_said("lawn, the moon")
    assert asks.value.complete("") == "lawn"


@pytest.mark.parametrize("read, typed, anew", [
    (lambda text: windows_said(text, PLANTS, 51.0), "up", "south: pothos; north: the rest"),
    (lambda text: windows_said(text, PLANTS, 51.0), "up, north", "south, north"),
    (outdoors_said, "lawn, sunny balcony", "balcony west, lawn")])
def test_a_whole_list_in_answer_to_one_open_direction_is_the_answer_anew(read, typed, anew):
    with pytest.raises(Asks) as asks:
        read(typed)
    assert asks.value.complete(anew) == anew and typed in asks.value.complete("west").replace(" west", "")
    assert read(asks.value.complete(anew))


def test_where():
    assert whereabouts("münchen").town == whereabouts("Munich").town == "Munich, DE" and whereabouts("Leeds").told
    assert whereabouts("Austin, Texas").imperial and not whereabouts("Leeds").imperial
    south = whereabouts("33.9 S, 151.2 E")
    assert (south.town, south.latitude, south.longitude) == ("", -33.9, 151.2) and "2 km from" in south.told
    with pytest.raises(Asks) as asked:
        whereabouts("Portland")
    assert [text for _, text in asked.value.options][:2] == ["Portland, Oregon, US", "Portland, Maine, US"]
    assert all(whereabouts(asked.value.complete(text)) for _, text in asked.value.options)
    with pytest.raises(Asks) as asked:                       # two of them in one province of Angola
        whereabouts("Dondo")
    assert len({asked.value.complete(text) for _, text in asked.value.options}) == len(asked.value.options) == 3
    assert len({whereabouts(text).latitude for _, text in asked.value.options}) == 3
    assert whereabouts("51.5 N, 0.1 W").longitude == -0.1
    for typed, cause in (("200, 10", "Latitude comes first."), ("12", ""), ("Xqqzt", "")):
        with pytest.raises(Wrong) as wrong:
            whereabouts(typed)
        assert wrong.value.cause == cause and wrong.value.allowed


PLANTS = plants_said("lemon tree, pothos, hibiscus, 2 jade plants")


@pytest.mark.parametrize("typed, at, faces", [
    ("south", ["south window"] * 4, ["south"]),
    ("200", ["window at 200°"] * 4, [200.0]),
    ("south, north", ["south window", "north window", "south window", "south window"], ["south", "north"]),
    ("kitchen SE: pothos and lemon; west: the rest", ["kitchen SE window", "kitchen SE window", "west window",
                                                      "west window"], ["south-east", "west"]),
    ("north: 2; south window: jade", ["north window", "north window", "north window", "south window"],
     ["north", "south"]),
    ("south-south-west facing window", ["south-south-west facing window"] * 4, ["south-south-west"]),
    ("", [""] * 4, []), ("don't know", [""] * 4, []),
])
def test_windows(typed, at, faces):
    windows, plants, _ = windows_said(typed, PLANTS, 51.0)
    assert [plant.place for plant in plants] == at and [dict(window.keys)["faces"] for window in windows] == faces


@pytest.mark.parametrize("typed, spread, told", [
    ("south: 2 jade; north: one jade and the rest", "ficus 1 n, jade 2 s, jade 3 1 n, jade 2 1 n", ""),
    ("south: jade x2, jade 2; north: the rest", "ficus 1 n, jade 2 s, jade 3 1 n, jade 2 1 s", ""),
    ("south: 2 jade; north: ficus", "ficus 1 n, jade 3 s, jade 2 1 s",
     "1 jade, jade 2: at the south window, as nothing else was said"),
    ("south: jade; north: jade; east: jade, jade 2, ficus",
     "ficus 1 e, jade 1 s, jade 3 1 n, jade 4 1 e, jade 2 1 e", ""),
])
def test_like_pots_are_spread_over_windows(typed, spread, told):
    """Three pots of one row, beside a row that is called as one of its parts would be."""
    plants = [replace(PLANTS[0], name="ficus"), replace(PLANTS[3], name="jade", count=3, taxon="a"),
              replace(PLANTS[3], name="jade 2", count=1, taxon="b")]
    _, found, assumed = windows_said(typed, plants, 51.0)
    assert (", ".join(f"{each.name} {each.count} {each.place[0]}" for each in found), assumed) == (spread, told)


@pytest.mark.parametrize("typed, said", [
    ("south: 2 jade plants; north: 2 jade plants", "4 jade plants at the windows"),
    ("south: jade plants; north: jade plants; east: jade plants", "2 jade plants at the south window and at the north"),
    ("south: 3 plants", "can mean jade plants or snake plants")])
def test_more_pots_than_there_are_or_none_said_for_each_window_is_asked(typed, said):
    with pytest.raises(Wrong, match=said) as wrong:
        windows_said(typed, [*PLANTS[:3], *plants_said("2 jade plants, 2 snake plants")], 51.0)
    assert wrong.value.allowed


def test_the_sunny_window_is_the_north_one_in_the_south():
    _, plants, told = windows_said("south, north", PLANTS, -34.0)
    assert plants[0].place == "north window" and plants[1].place == "south window" and "assumed" in told


@pytest.mark.parametrize("typed, cause", [("400", ""), ("suoth", "south"), ("south: tulip", ""), ("window", "typical")])
def test_what_is_no_window_is_refused(typed, cause):
    with pytest.raises(Wrong) as wrong:
        windows_said(typed, PLANTS, 51.0)
    assert cause in wrong.value.cause and wrong.value.allowed
    with pytest.raises(Asks, match="no direction") as asks:
        windows_said("kitchen", PLANTS, 51.0)
    assert windows_said(asks.value.complete("se"), PLANTS, 51.0)[0][0].keys == (("faces", "south-east"),)


@pytest.mark.parametrize("typed, keys", [
    ("lawn", {"horizon_deg": 8}),
    ("balcony south", {"faces": "south", "wall_behind": True, "roof_deg": 55, "horizon_deg": 10}),
    ("the steps facing 110, 4 pots", {"faces": 110, "wall_behind": True, "horizon_deg": 10, "room_for": 4}),
    ("under a birch", {"horizon_deg": 8, "leaf_shade": 0.24}),
    ("under the old maple tree", {"horizon_deg": 8, "leaf_shade": 0.2}),
    ("patio west under a lime tree", {"faces": "west", "wall_behind": True, "horizon_deg": 10, "leaf_shade": 0.11}),
    ("shade cloth 60 %", {"horizon_deg": 8, "leaf_shade": 0.4}),
    ("lawn under 30% net", {"horizon_deg": 8, "leaf_shade": 0.7}),
    ("balcony ?", {"horizon_deg": 10}),
])
def test_places_outdoors(typed, keys):
    [place] = outdoors_said(typed)
    assert dict(place.keys) == keys and place.kind == "outdoor"


def test_places_outdoors_that_are_none():
    assert outdoors_said("") == outdoors_said("none") == ()
    assert [place.name for place in outdoors_said("lawn, lawn and porch e")] == ["lawn", "lawn 2", "porch e"]
    for typed in ("the moon", "cloth", "cloth 5 %", "balcony 400"):
        with pytest.raises(Wrong) as wrong:
            outdoors_said(typed)
        assert not isinstance(wrong.value, Asks) and wrong.value.allowed
    with pytest.raises(Asks, match="where it faces") as asks:
        outdoors_said("lawn, balcony")
    assert dict(outdoors_said(asks.value.complete("s"))[1].keys)["faces"] == "south"


@pytest.mark.parametrize("typed, children, pets", [
    ("", 0, 0), ("no", 0, 0), ("2 cats", 0, 1), ("a toddler and a dog", 1, 1), ("both", 1, 1), ("children", 1, 0)])
def test_household(typed, children, pets):
    assert household_said(typed) == (bool(children), bool(pets))


@pytest.mark.parametrize("typed, days, minutes", [
    ("", "sat sun", 180), ("sat, 2 h", "sat", 120), ("weekends", "sat sun", 180), ("any day, 45 min", "", 45),
    ("Wednesdays and fridays 1.5 hours", "wed fri", 90), ("90 minutes a day", "sat sun", 90),
    ("mon/thu", "mon thu", 180), ("mon-fri 20 min", "mon tue wed thu fri", 20), ("Sundays two hours", "sun", 120),
    ("half an hour a day, Friday to Monday", "mon fri sat sun", 30), ("weekends, an hour", "sat sun", 60)])
def test_time(typed, days, minutes):
    assert time_said(typed) == (tuple(days.split()), minutes)


@pytest.mark.parametrize("read, typed", [(household_said, "yes"), (household_said, "a boat"), (time_said, "never"),
                                         (time_said, "mon to never"),
                                         (time_said, "sat 3"), (time_said, "sat 100 h"), (time_said, "sat 2 min")])
def test_people_who_answer_something_else(read, typed):
    with pytest.raises(Wrong) as wrong:
        read(typed)
    assert wrong.value.allowed


def test_slips_of_the_pen():
    assert [slips("abcd", other, 2) for other in ("abcd", "abxd", "bacd", "abc", "abcde", "axxd", "dcba")] == [
        0, 1, 1, 1, 1, 2, None]


def test_trees_let_through_what_was_published():
    """Sky seen through the crown in summer: Wilkinson 1992; shade at the crown's edge: Gardner and Sydnor 1984 (75, 69,
    61, 60 and 56 %); a sugar maple takes about 80 %: Heisler 1986. See data/sources.csv."""
    shares = {row["key"]: float(row["share"]) for row in table("leaf_shades")}
    assert shares["birch"] == 0.24 and shares["lime"] == 0.11 and shares["oak"] == 0.17 and shares["maple"] == 0.2
    assert [shares[key] for key in ("pear tree", "red maple", "zelkova", "coffeetree", "honey locust")] == [
        pytest.approx(1 - shade / 100) for shade in (75, 69, 61, 60, 56)]
    sources = {row["key"] for row in table("sources")}
    assert all(row["source"].split()[0] in sources or "our setting" in row["source"] for row in table("leaf_shades"))
