"""A single case without a shop."""
import json
import re

from place import CLASS, KNOWLEDGE, Case, ids_of


class Judge(Case):
    CASE = {"crankwise_case": 1, "bike": {"class": CLASS, "hours": 40}, "complaint": "bogs up top",
            "context": {"new-owner": True}, "findings": {"bogs-up-top": "yes", "blubbers": "no", "plug-wet-fuel": "unsure"},
            "readings": {"compression": "138 psi"}, "steps": [{"step": "fit-new-plug", "run": "same"}]}

    def file(self, text):
        path = self.place.dir / "case.json"
        path.write_text(text if isinstance(text, str) else json.dumps(text))
        return str(path)

    def test_text_and_json_from_file_and_input(self):
        path = self.file(self.CASE)
        text = self.good("judge", path)
        for part in ("Likeliest now", "NEXT", "compression 138 psi; ", "Sets of four and more faults: at most"):
            self.assertIn(part, text)
        self.assertEqual(self.good("judge", "-", text=json.dumps(self.CASE)), text)
        told = self.good("judge", path, "--json")
        self.assertEqual(self.good("judge", "-", "--json", text=json.dumps(self.CASE)), told)
        told = json.loads(told)
        chances = [f["probability"] for f in told["faults"]]
        self.assertEqual(chances, sorted(chances, reverse=True))
        self.assertTrue(all(0 <= p <= 1 for p in chances))
        self.assertEqual(len(told["faults"]), len(ids_of("fault", KNOWLEDGE["class"][CLASS]["traits"])))
        sets = [s["probability"] for s in told["fault_sets"]]
        self.assertEqual(sets, sorted(sets, reverse=True))
        self.assertLessEqual(sum(sets), 1 + 1e-6)
        self.assertTrue(0 <= told["left_out_bound"] <= 1)
        self.assertEqual(told["readings"][0]["reading"], "compression")
        self.assertFalse(told["proven"])
        for option in [told["next"], *told["alternatives"]]:
            self.assertGreaterEqual(option["own"]["minutes"], 0)
            self.assertGreaterEqual(option["whole_job_minutes"], told["next"]["whole_job_minutes"] - 1e-6)
            if option.get("outcomes"):
                self.assertLessEqual(sum(o["probability"] for o in option["outcomes"]), 1 + 1e-6)
        # Every fault that the text names is in the JSON with the same chance.
        for share, fault in re.findall(r"^ +([\d.]+) %  .* ([a-z0-9-]+)$", text, re.M):
            chance = next(f["probability"] for f in told["faults"] if f["fault"] == fault)
            self.assertAlmostEqual(100 * chance, float(share), delta=0.051)

    def test_leaves_no_trace(self):
        path = self.file(self.CASE)
        before = self.place.files()
        self.good("judge", path)
        self.bad("judge", self.file("{"))
        self.file(self.CASE)
        self.assertEqual(self.place.files(), before)

    def test_like_the_same_job_in_the_shop(self):
        self.place.json("take-in", self.bike("Red 125", CLASS, "--hours", "40"), "bogs up top")
        self.good("before", "new-owner=yes")
        self.good("answer", "bogs-up-top=yes", "blubbers=no", "plug-wet-fuel=unsure")
        self.good("measured", "compression", "138 psi")
        self.good("did", "fit-new-plug")
        self.good("ran", "same")
        job = self.place.json("next")
        job.pop("job")
        told = self.place.json("judge", self.file(self.CASE))
        self.assertEqual({f["fault"] for f in told["faults"]}, {f["fault"] for f in job["faults"]})
        chances = {f["fault"]: f["probability"] for f in job["faults"]}
        for f in told["faults"]:
            self.assertAlmostEqual(f["probability"], chances[f["fault"]], delta=1e-6)
        self.assertEqual(told["next"]["step"], job["next"]["step"])

    def test_a_part_that_goes_in_and_out_many_times(self):
        steps = [{"step": "carburettor-swap", "run": "same", "put_back": True}] * 12
        told = self.place.json("judge", self.file(dict(self.CASE, steps=steps)), timeout=60)
        chances = {f["fault"]: f["probability"] for f in told["faults"]}
        self.assertLess(chances["main-jet-blocked"], 0.02)

    def test_bad_cases(self):
        path = self.file(dict(self.CASE, findings={"bogs-up-tpo": "yes"}))
        self.bad("judge", path, says=[path + ":1: findings.bogs-up-tpo: ", 'perhaps "bogs-up-top"'])
        self.bad("judge", "-", text="{}\n{", says="-:")
        self.bad("judge", str(self.place.dir / "none.json"), says="none.json: cannot be read")
        self.bad("judge", str(self.place.dir))
        self.bad("judge", "-", text="")
        self.bad("judge", "-", text="[" * 100000)
        self.bad("judge", "-", text=b"\xff\xfe\x00")
        self.bad("judge", "-", text='{"crankwise_case": 1, "bike": {"class": "%s", "hours": 1e999}}' % CLASS)
        self.bad("judge", "-", text=json.dumps(self.CASE)[:-1])

    def test_bad_cases_for_programs(self):
        path = self.file(dict(self.CASE, findings={"bogs-up-tpo": "yes"}, context={"new-ownr": True}))
        result = self.place.run("judge", path, "--json")
        self.assertEqual(result.code, 2)
        self.assertEqual(json.loads(result.out)["problems"][0],
                         {"file": path, "line": 1, "field": "context.new-ownr", "wrong": 'no context is called "new-ownr"',
                          "right": 'perhaps "new-owner"'})
        self.assertEqual(len(json.loads(result.out)["problems"]), 2)
        self.assertIn("findings.bogs-up-tpo", result.err)
