"""Hours, renewals and what is due, typed in."""
import datetime
import json

from place import CLASS, Case


def day(ago):
    return (datetime.datetime.now(datetime.timezone.utc) - datetime.timedelta(days=ago)).strftime("%Y-%m-%d")


class Upkeep(Case):
    def setUp(self):
        super().setUp()
        self.bike("Red 125", CLASS, "--hours", "38")

    def state(self):
        return self.good("bike", "red-125", "--json") + self.good("due", "--json", "--within", "7")

    def item(self, upkeep, *args):
        items = self.place.json("due", "red-125", *args)["items"]
        return next(i for i in items if i["upkeep"] == upkeep)

    def hours(self):
        return self.place.json("bike", "red-125")["hours"]

    def refused(self, *args, says):
        before = self.state()
        self.bad(*args, says=says)
        self.assertEqual(self.state(), before, args)

    def test_what_is_due_and_why(self):
        self.good("renewed", "red-125", "plug", "--at", "12")
        out = self.good("due", "red-125")
        self.assertIn("Overdue", out)
        self.assertIn("spark plug [plug]: 26 h of usually 20 h, renewed at 12 h: overdue by 6 h", " ".join(out.split()))
        self.assertIn("no renewal in the record, up to 38 h old; usually 20 h", " ".join(out.split()))
        self.assertIn("CAUTION", out)
        self.assertRegex(out, r"Trouble in the next 5 h if nothing is done: \d+ %")
        self.assertNotIn("Not due yet", out)
        self.assertIn("Not due yet", self.good("due", "red-125", "--all"))
        self.assertIn("26 h of usually 20 h", " ".join(self.good("due").split()))
        self.assertGreater(self.item("plug", "--within", "20")["chance_of_trouble"], self.item("plug")["chance_of_trouble"])
        self.assertEqual([b["bike"] for b in self.place.json("due")], ["red-125"])

    def test_a_shop_without_bikes(self):
        self.assertIn("no bikes yet", self.good("due", env={"CRANKWISE_SHOP": str(self.place.dir / "none.db")}))

    def test_every_upkeep_can_be_renewed_and_is_fresh_then(self):
        for item in self.place.json("due", "red-125")["items"]:
            with self.subTest(upkeep=item["upkeep"]):
                self.good("renewed", "red-125", item["upkeep"], "--again")
                fresh = self.item(item["upkeep"])
                self.assertEqual(fresh["age_hours"], 0)
                self.assertEqual(fresh["age_days"], 0)
        self.assertNotIn("overdue", [i["urgency"] for i in self.place.json("due", "red-125")["items"]])
        for thing in self.place.json("list", "upkeep"):
            self.assertIn(thing["name"], self.good("show", thing["id"]))

    def test_days(self):
        self.good("renewed", "red-125", "fuel", "--on", day(40), "--at", "37")
        fuel = self.item("fuel")
        self.assertEqual((fuel["urgency"], fuel["age_days"], fuel["age_hours"]), ("overdue", 40, 1))
        self.good("renewed", "red-125", "fuel", "--on", day(0), "--again")
        self.assertEqual(self.item("fuel")["age_days"], 0)

    def test_hours_that_run_backwards(self):
        self.refused("hours", "red-125", "37.9", says=["run backwards", "another meter is on", "written down before is wrong"])
        self.refused("hours", "red-125", "37", "--estimate", says="run backwards")
        self.refused("hours", "red-125", "0", "--meter-changed", "--corrected", says="do not go together")
        self.refused("hours", "red-125", "-1", "--meter-changed", says="0 or more")
        self.refused("hours", "red-125", "nan", "--corrected", says="0 or more")

    def test_another_meter(self):
        self.good("renewed", "red-125", "plug")
        self.assertIn("38 h", self.good("hours", "red-125", "0", "--meter-changed"))
        self.assertIn("45.5 h", self.good("hours", "red-125", "7.5"))
        self.assertEqual(self.item("plug")["age_hours"], 7.5)
        self.refused("hours", "red-125", "7", says=["45.5 h already (7.5 h on its meter)", "7.5 or more"])

    def test_a_slip(self):
        self.good("hours", "red-125", "390")
        self.good("renewed", "red-125", "plug")
        self.good("hours", "red-125", "39", "--corrected")
        self.assertEqual(self.item("plug")["renewed_hours"], 39)
        self.assertIn("taken back on red-125: 39 h", self.good("undo", "--bike", "red-125"))
        self.assertEqual(self.hours(), 390)
        self.good("undo", "--bike", "red-125")
        self.good("undo", "--bike", "red-125")
        self.assertEqual(self.hours(), 38)
        self.refused("undo", "--bike", "red-125", says="nothing to take back on Red 125")
        self.refused("undo", "--bike", "red-126", says='perhaps "red-125"')

    def test_rides_by_estimate(self):
        self.assertIn("since by estimate", self.good("ridden", "red-125", "2.5", "h"))
        self.good("ridden", "red-125", "90 min")
        self.assertEqual(self.hours(), 42)
        for time in ("2.5", "0 h", "-1 h", "25 h", "2 days", "nan h", "a while", "1e999 h", ""):
            self.refused("ridden", "red-125", time, says="right would be")
        self.good("hours", "red-125", "41")  # the meter knows better
        self.assertEqual(self.hours(), 41)
        self.bike("Old", CLASS)
        self.refused("ridden", "old", "2 h", says=["not known yet", "as an estimate"])
        self.refused("hours", "old", "0", "--meter-changed", says="not known yet")
        self.assertIn("by estimate", self.good("hours", "old", "120", "--estimate"))
        self.assertIn("122 h", self.good("ridden", "old", "2", "h"))

    def test_renewals_that_cannot_be(self):
        self.good("renewed", "red-125", "plug")
        self.refused("renewed", "red-125", "plug", says=["was written down as renewed", "renewed again"])
        self.refused("renewed", "red-125", "packing", "--at", "38.5", says="renewed at 38.5 h, but the engine has 38 h")
        self.refused("renewed", "red-125", "packing", "--on", day(-3), says="but today is " + day(0))
        self.refused("renewed", "red-125", "packing", "--on", "2026-02-30", says="is not a day")
        self.refused("renewed", "red-125", "packing", "--on", "yesterday", says="is not a day")
        self.refused("renewed", "red-125", "engine-oil", says='Red 125 has no "engine-oil"')
        self.refused("renewed", "red-125", "piston-kt", says='perhaps "piston-kit"')
        self.refused("renewed", "red-126", "plug", says='perhaps "red-125"')
        err = self.bad("renewed", "red-125", "plug", "--at", "99", "--on", day(-3))
        self.assertEqual(len(err.strip().split("\n")), 3, err)
        self.good("renewed", "red-125", "plug", "--at", "30", "--again")
        self.assertEqual(self.item("plug")["age_hours"], 8)

    def test_own_intervals_and_hard_use(self):
        self.good("renewed", "red-125", "plug", "--at", "26")
        self.good("use", "red-125", "hard")
        self.assertEqual(self.item("plug")["urgency"], "overdue")
        self.good("interval", "red-125", "plug", "18", "h")
        self.assertIn("this bike's own 18 h", self.item("plug")["reason"])
        self.good("interval", "red-125", "plug", "usual")
        self.good("use", "red-125", "usual")
        self.assertEqual(self.item("plug")["every_hours"], 20)
        for args, says in ((("plgu", "18 h"), 'perhaps "plug"'), (("plug", "18"), "with its unit"), (("plug", "0 h"), "above 0"),
                           (("plug", "-3 h"), "above 0"), (("plug", "99999 h"), "beyond reason"), (("engine-oil", "5 h"), "has no engine oil"),
                           (("plug", "often"), "or usual")):
            self.refused("interval", "red-125", *args, says=says)
        self.refused("use", "red-125", "gently", says="hard or usual")
        self.refused("due", "red-125", "--within", "0", says="above 0")
        self.refused("due", "red-125", "--within", "nan", says="above 0")
        self.refused("due", "red-126", says='perhaps "red-125"')

    def test_a_job_renews_and_its_undo_takes_it_back(self):
        self.good("take-in", "red-125", "misses at high revs")
        self.good("did", "fit-new-plug")
        self.assertEqual(self.item("plug")["age_hours"], 0)
        self.refused("renewed", "red-125", "plug", says="was written down as renewed")
        self.good("undo")
        self.assertEqual(self.item("plug")["age_hours"], None)
        self.assertIn("Job", self.good("bike", "red-125"))

    def test_the_demo_has_something_due(self):
        out = self.good("--demo", "due")
        self.assertIn("Overdue", out)
        self.assertIn("since by estimate", out)
        self.assertTrue(json.loads(self.good("--demo", "due", "--json")))
