"""Readings as a mechanic types them: conditions, figures, facts, tables, and what is asked back."""
import json

from place import CLASS, Case


class Readings(Case):
    def job(self, bike_class=CLASS, name="Red 125", words="no power"):
        bike = self.bike(name, bike_class)
        self.good("take-in", bike, words)
        return bike

    def taken(self):
        """What is kept of the readings, in order."""
        shop = json.loads(self.good("export", "-"))
        return [e["data"] for j in shop["jobs"] for e in j["events"] if e["kind"] == "measured"]

    def test_height_hose_and_baseline(self):
        bike = self.job()
        self.good("figure", bike, "compression", "190 psi", "--baseline", "height=0m")
        said = " ".join(self.good("measured", "compression", "138", "psi", "height=1400", "m").split())
        # 1400 m: 85.6 kPa by the standard atmosphere (ISO 2533), 138 * 101.325 / 85.6 = 163.
        self.assertIn("compression 138 psi reads as 163 psi at sea level; own baseline 190 psi: 14 % down", said)
        self.assertIn("give or take", said)
        self.assertIn("noted: compression: 138 psi, height 1400 m", said)
        told = json.loads(self.good("suspects", "--json"))["readings"]
        self.assertEqual(told[0]["healthy"]["from"], "own baseline")
        self.assertAlmostEqual(told[0]["corrected"]["value"], 163.3, delta=0.3)
        self.assertGreater(told[0]["spread"]["instrument"], 0)
        self.assertGreater(told[0]["findings"][0]["likelihood_ratio"], 3)
        self.assertRegex(said, "rings worn about .* times likelier")

    def test_what_is_usual_in_the_shop_is_kept_with_the_reading(self):
        bike = self.job()
        self.good("settings", "--usual", "height=1400m", "--usual", "hose=3cm3")
        self.good("measured", "compression", "138 psi")
        self.good("settings", "--usual", "height=600m", "--usual", "hose=")
        self.good("measured", "compression", "150 psi", "kick=brisk")
        self.good("measured", "plug-gap", "0.6 mm")
        self.assertEqual([t.get("at") for t in self.taken()],
                         [{"height": "1400m", "hose": "3cm3"}, {"height": "600m", "kick": "brisk"}, None])
        self.good("figure", bike, "compression", "180 psi", "--baseline")
        self.assertIn("180 psi (own baseline, height 600m)", self.good("bike", bike))
        self.assertIn("usual height: 600m", self.good("settings"))
        self.bad("settings", "--usual", "hight=3m")
        self.bad("settings", "--usual", "height")

    def test_the_likely_mistake_is_named_and_nothing_kept(self):
        self.job()
        self.assertIn("perhaps 138 psi", self.bad("measured", "compression", "138 kPa"))
        self.assertIn("perhaps 950 kPa was meant", self.bad("measured", "compression", "950 psi", "--sure"))
        self.assertIn('perhaps "height"', self.bad("measured", "compression", "138 psi", "hight=3 m"))
        self.assertEqual(self.taken(), [])
        self.good("measured", "compression", "138 kPa", "--sure")
        self.assertEqual([t["value"] for t in self.taken()], [138])

    def test_degrees_once_the_crank_is_known(self):
        bike = self.job()
        self.good("figure", bike, "timing-btdc", "1.8 mm")
        self.assertIn("stroke and rod", self.bad("measured", "timing-btdc", "19.7 deg"))
        self.good("figure", bike, "stroke", "54.5 mm")
        self.good("figure", bike, "rod", "105", "mm")
        # 19.7 degrees are 2.00 mm on 54.5 mm of stroke with a rod of 105 mm (slider-crank, by hand).
        said = " ".join(self.good("measured", "timing-btdc", "19.7 deg").split())
        self.assertRegex(said, r"before top dead centre (2|1\.99\d|2\.00\d) mm; handbook 1\.8 mm: 11 % up")
        self.assertIn("not a value", self.bad("figure", bike, "stroke", "54.5"))

    def test_a_sensor_by_its_own_table(self):
        bike = self.job("motocross-450-four-stroke-injection", "Blue 450")
        self.good("figure", bike, "coolant-sensor", "-20 degC=15.5 kohm", "0 degC=5.79 kohm", "20 degC=2.45 kohm",
                  "80 degC=0.32 kohm")
        self.assertIn("20 degC 2450 ohm", self.good("bike", bike))
        said = " ".join(self.good("measured", "coolant-sensor", "5.79 kohm", "temperature=0 degC").split())
        self.assertIn("reads as 2450 ohm at 20 C by its table; its own table 2450 ohm: the same", said)
        self.assertIn("does not fall", self.bad("figure", bike, "coolant-sensor", "20 degC=2.45 kohm", "80 degC=3 kohm"))

    def test_a_valve_that_closes_up_from_job_to_job(self):
        bike = self.job("motocross-250-four-stroke-carburettor", "Green 250")
        self.good("measured", "valve-clearance-inlet", "0.13 mm")
        self.good("measured", "valve-clearance-inlet", "0.07 mm")
        self.good("close", "given-up")
        self.good("take-in", bike, "hard to start")
        said = " ".join(self.good("measured", "valve-clearance-inlet", "0.05 mm").split())
        self.assertIn("0.13, 0.07, 0.05 now mm: it has closed up 0.08 mm in all", said)

    def test_step_by_step(self):
        self.job()
        self.assertIn("told     height= m", self.good("show", "compression"))
        self.assertIn("crankwise settings --usual", self.good("show", "compression"))
        self.assertIn("trapped-ratio=", self.good("show", "compression"))


