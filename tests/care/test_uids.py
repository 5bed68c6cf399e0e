from seasonplan.care.uids import parts_of, slug, step_uid

KINDS = frozenset({"treat-scale", "treat-before-in", "feed", "feed-start", "wash", "wash-soap"})


def test_a_uid_says_what_the_step_is_and_is_always_the_same():
    uid = step_uid("Invented town", 2027, "feed", "Big Fig", 3)
    assert uid == step_uid("Invented town", 2027, "feed", "Big Fig", 3)
    assert uid.startswith("2027-feed-big-fig-3-") and uid.endswith("@seasonplan.invalid")


def test_every_part_counts():
    base = ("Invented town", 2027, "feed", "Big Fig", 3)
    others = [("Other", 2027, "feed", "Big Fig", 3), ("Invented town", 2028, "feed", "Big Fig", 3),
              ("Invented town", 2027, "wash", "Big Fig", 3), ("Invented town", 2027, "feed", "Big  Fig", 3),
              ("Invented town", 2027, "feed", "Big Fig", 4)]
    assert len({step_uid(*one) for one in [base, *others]}) == 6


def test_names_of_any_script_give_a_safe_slug():
    assert slug("Épiphyte / Nº 2") == "epiphyte-no-2"
    assert slug("🌵") == slug("") == "plant"
    assert len(slug("x" * 10_000)) == 40
    assert "/" not in step_uid("a/b", 2027, "feed", "c/d\n\ud800", 1)


def test_a_uid_is_read_back_with_the_longest_kind_that_fits():
    for kind in sorted(KINDS):
        uid = step_uid("Invented town", 2027, kind, "Number 7", 11)
        assert parts_of(uid, KINDS) == (kind, "number-7", 11)
        assert parts_of(uid.split("@")[0], KINDS) == (kind, "number-7", 11)


def test_what_is_no_uid_of_ours_is_none():
    uid = step_uid("Invented town", 2027, "unheard-of", "Fig", 1)
    assert parts_of(uid, KINDS) is None
    assert parts_of("repot", KINDS) is None
