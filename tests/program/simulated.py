"""Simulated engines from outside: curves, pictures, cycles, own dimensions, evidence, and what is refused."""
import json
import xml.etree.ElementTree as xml

from place import CLASS, Case

ENGINE = CLASS


class Simulated(Case):
    def test_a_fault_is_told_drawn_and_given_as_figures(self):
        picture, cycle = self.place.dir / "curve.svg", self.place.dir / "cycle.svg"
        told = json.loads(self.good("power-curve", ENGINE, "--fault", "silencer-core-carboned", "--severity", "0.9", "--points", "6", "--trace", "11000",
                                    "--picture", str(picture), "--cycle-picture", str(cycle), "--json"))
        self.assertLess(told["faulty"]["power"]["w"], 0.97 * told["healthy"]["power"]["w"])
        self.assertEqual(len(told["healthy"]["at"]), 6)
        self.assertIn("With the silencer closed by 90 %", told["words"][0])
        self.assertGreater(len(told["trace"]), 250)
        for file in picture, cycle:
            self.assertTrue(xml.parse(file).getroot().tag.endswith("svg"), file)

    def test_own_dimensions_take_the_place_of_the_engines(self):
        own = self.place.dir / "own.toml"
        own.write_text('[crank]\nbore = "50 mm"\n')
        small, large = (json.loads(self.good("power-curve", ENGINE, "--points", "5", *more, "--json"))["healthy"]["torque"]["n_m"] for more in
                        (["--own", str(own)], []))
        self.assertLess(small, 0.97 * large)
        own.write_text('[exhaust-port]\nopens = "-5 deg"\n')
        self.assertIn("above the deck", self.bad("power-curve", ENGINE, "--own", str(own)))

    def test_what_cannot_be_is_refused(self):
        for *args, says in (["no-such-engine", "there is no engine"], [ENGINE, "--fault", "no-such-fault", "does not know"],
                            [ENGINE, "--fault", "pump-weak", "cannot have"], [ENGINE, "--fault", "plug-worn", "--severity", "1.5", "severity"],
                            [ENGINE, "--fault", "plug-worn", "--severity", "-0.1", "severity"], [ENGINE, "--from", "9000", "--to", "9100", "--to"],
                            [ENGINE, "--points", "2", "--points"], [ENGINE, "--cycle-picture", "x.svg", "--trace RPM"], [ENGINE, "--trace", "99", "--trace"]):
            with self.subTest(args=args):
                self.bad("power-curve", *args, says=says)

    def test_evidence_is_told_ranked_and_held_against_what_is_known(self):
        self.assertIn(CLASS, self.good("evidence"))
        told = json.loads(self.good("evidence", CLASS, "--json"))
        jet = told["faults"]["main-jet-blocked"]
        self.assertLessEqual(jet["in_a_gear"]["never"], 1)
        self.assertEqual(jet["in_neutral"]["at"], sorted(jet["in_neutral"]["at"]))
        self.assertIn("main-jet-blocked", self.good("evidence", CLASS))
        fits = json.loads(self.good("evidence", CLASS, "--stops", "8300", "--healthy", "12900", "--in-a-gear", "--json"))["fits"]
        self.assertAlmostEqual(sum(f["chance"] for f in fits), 1, places=6)
        self.assertEqual(fits, sorted(fits, key=lambda f: -f["chance"]))
        apart = json.loads(self.good("evidence", "--apart", "--json"))
        self.assertGreater(apart["compared"], 3000)
        self.assertNotIn("header-leak", told["faults"])  # a spigot with springs, no joint that is bolted
        self.assertTrue(all(max(x["by_hand"], x["simulated"]) >= 0.15 for x in apart["apart"]))
        for *args, says in (["mini-moto", "no engine of"], [CLASS, "--stops", "8000", "--healthy"],
                            [CLASS, "--stops", "9000", "--healthy", "8000", "no higher than"], [CLASS, "--stops", "x", "--stops"]):
            with self.subTest(args=args):
                self.bad("evidence", *args, says=says)
