"""The demo shop."""
import json
import signal
import subprocess
import time

from place import ROOT, BINARY, Case


class Demo(Case):
    def test_opens_by_itself(self):
        first = self.good("--demo")
        self.assertIn("NEXT", first)
        self.assertEqual(self.good("--demo"), first)
        jobs = self.place.json("--demo", "jobs")
        self.assertEqual([j["end"] for j in jobs].count("open"), 1)
        self.assertGreaterEqual(len(jobs), 4)
        self.assertGreaterEqual(len(self.place.json("bikes", "--demo")), 3)
        self.assertFalse(self.place.shop.exists(), "the demo made a shop of its own")
        names = [p.name for p in self.place.shop.parent.iterdir()]
        self.assertEqual([n for n in names if "making" in n], [])
        # Times are those of the script, not of now.
        self.assertTrue(all(j["opened"] < "2026-12" for j in jobs), jobs)

    def test_the_readme_shows_what_it_says(self):
        readme = (ROOT / "README.md").read_text()
        shown = readme.split("    $ ./run --demo\n")[1].split("    ...\n")[0]
        lines = [line[4:] for line in shown.rstrip("\n").split("\n")]
        self.assertGreater(len(lines), 20)
        self.assertEqual(self.good("--demo").split("\n")[:len(lines)], lines)

    def test_is_worked_on_like_any_shop(self):
        self.good("--demo", "note", "tried it")
        self.assertIn("tried it", self.good("--demo", "log"))
        self.assertEqual(self.place.json("jobs"), [])

    def test_two_at_the_first_time(self):
        both = [subprocess.Popen([BINARY, "--demo", "jobs", "--json"], env=self.place.env, stdout=subprocess.PIPE,
                                 stderr=subprocess.PIPE) for _ in range(3)]
        told = [p.communicate(timeout=120) for p in both]
        whole = self.place.json("--demo", "jobs")
        self.assertGreaterEqual(len(whole), 4)
        for process, (out, err) in zip(both, told):
            self.assertEqual(process.returncode, 0, err)
            self.assertEqual(json.loads(out), whole)

    def test_a_making_cut_short(self):
        for delay in (0.02, 0.1, 0.2, 0.3):
            process = subprocess.Popen([BINARY, "--demo"], env=self.place.env, stdout=subprocess.DEVNULL)
            time.sleep(delay)
            process.send_signal(signal.SIGKILL)
            process.wait()
        self.assertIn("NEXT", self.good("--demo"))
        self.assertEqual([j["end"] for j in self.place.json("--demo", "jobs")].count("open"), 1)

    def test_keeps_away_from_the_real_shop(self):
        self.place.json("take-in", self.bike(), "bogs up top")
        real = self.good("jobs", "--json")
        env = {"CRANKWISE_SHOP": str(self.place.shop)}
        demo = self.place.json("--demo", "jobs", env=env)
        self.assertGreaterEqual(len(demo), 4, "--demo showed the real shop")
        self.good("--demo", "note", "only for trying", env=env)
        self.assertEqual(self.good("jobs", "--json"), real)
        self.assertEqual(self.facts(), [])

    def test_makes_nothing_in_a_shop_that_is_named_but_not_there(self):
        env = {"CRANKWISE_SHOP": str(self.place.dir / "mine.db")}
        self.place.run("--demo", env=env)
        self.assertEqual(self.place.json("jobs", env=env), [], "the demo was written into the user's own file")
