"""What every command gives to programs, and its help."""
import json

from judge import Judge
from listen import engine, hold
from place import CLASS, Case
from sheet import png


class Programs(Case):
    """--json of every command."""

    def test_every_command_answers_in_json(self):
        self.place.json("take-in", self.bike("Red 125", CLASS, "--hours", "42"), "bogs up top, not smoking")
        case = self.place.dir / "case.json"
        case.write_text(json.dumps(Judge.CASE))
        lines = {
            "work": None,  # talks to people
            "serve": None,  # talks to browsers
            "take-in": ["red-125", "bogs"], "next": [], "suspects": [], "why": [], "hear": ["blubbers", "with", "the", "choke", "on"],
            "answer": ["bogs-up-top=yes"], "before": ["new-owner=yes"], "measured": ["compression", "138", "psi"],
            "did": ["look-at-plug", "plug-wet-fuel=yes"], "put-back": None, "ran": ["same"], "cannot": ["crankcase-pressure-test"],
            "stripped": ["tank", "seat"], "note": ["äöü \"quoted\" \\ back\nnew line"], "undo": [], "close": ["given-up"],
            "log": ["--job", "1"], "sheet": ["--job", "1"], "photo": None, "listen": None, "jobs": [], "bikes": [], "add-bike": ["Blue", "--class", CLASS], "bike": ["red-125"],
            "hours": ["red-125", "43"], "ridden": ["red-125", "2 h"], "renewed": ["red-125", "plug"], "due": ["red-125"],
            "interval": ["red-125", "plug", "25 h"], "use": ["red-125", "hard"], "figure": ["red-125", "compression", "170 psi", "--to", "180 psi"],
            "access": ["red-125", "tank", "5", "6"], "settings": ["--hour", "48"], "backup": [str(self.place.dir / "copy.db")],
            "export": [str(self.place.dir / "shop.json")], "import": [str(self.place.dir / "shop.json")], "csv": ["jobs", str(self.place.dir / "jobs.csv")],
            "learned": ["red-125"], "lesson": None, "track-record": [], "sum": ["oil-for-fuel", "fuel=20 L", "ratio=40:1"], "judge": [str(case)], "power-curve": ["motocross-450-four-stroke-injection", "--points", "4"], "evidence": ["motocross-125-two-stroke"], "list": ["faults"], "show": ["reed-chipped"], "check-knowledge": [],
        }
        known = [c["name"] for c in json.loads(self.good("--commands-json")) if c["name"]]
        self.assertEqual(sorted(known), sorted(lines), "a command without a line here")
        for name, args in lines.items():
            if args is None:
                continue
            with self.subTest(command=name):
                out = self.good(name, *args, "--json")
                self.assertIsInstance(json.loads(out), (dict, list))
        with self.subTest(command="lesson"):
            self.place.json("take-in", "red-125", "bogs up top")
            self.place.json("did", "main-jet-clean")
            for _ in range(8):
                self.place.json("ran", "gone")
            self.place.json("close", "proven", "--cause", "main-jet-blocked")
            job = self.place.json("learned", "red-125")["jobs"][0]["job"]
            self.assertEqual(self.place.json("lesson", str(job), "leave-out"), {"job": job, "counts": False})
            self.assertEqual(self.place.json("learned", "red-125"), {"bike": "red-125", "jobs": [], "left_out": [job], "causes": []})
            self.assertEqual(self.place.json("lesson", str(job), "count"), {"job": job, "counts": True})
            self.assertEqual(len(self.place.json("learned", "red-125")["jobs"]), 1)
            self.place.json("undo", "--job", str(job))
            self.assertEqual(self.place.json("learned", "red-125")["jobs"], [])
        with self.subTest(command="photo"):
            picture = self.place.dir / "p.png"
            picture.write_bytes(png())
            self.place.json("take-in", "red-125", "bogs")
            self.assertEqual(self.place.json("photo", str(picture), "--caption", "the plug")["caption"], "the plug")
        with self.subTest(command="listen"):
            self.place.json("take-in", "red-125", "bogs")
            told = self.place.json("listen", engine(self.place.dir / "hold.wav", hold(9000), 6.5))
            self.assertIn("neutral-ceiling", [r["reading"] for r in told["readings"]])
        with self.subTest(command="put-back"):
            self.place.json("take-in", "red-125", "bogs")
            self.place.json("did", "swap-coil")
            self.assertIsInstance(self.place.json("put-back", "swap-coil"), dict)
        with self.subTest(command=""):
            self.assertIsInstance(self.place.json(), dict)
        for kind in ("classes", "traits", "faults", "findings", "readings", "steps", "parts", "upkeep", "tools", "cautions", "contexts", "terms"):
            with self.subTest(list=kind):
                self.assertGreater(len(self.place.json("list", kind)), 3)

    def test_nothing_open_is_json_too(self):
        self.assertIsInstance(self.place.json(), (dict, list))
        self.assertEqual(self.place.json("jobs"), [])
        self.assertEqual(self.place.json("bikes"), [])

    def test_everything_that_is_listed_is_shown(self):
        for kind in ("classes", "traits", "faults", "findings", "readings", "steps", "parts", "upkeep", "tools", "cautions", "contexts", "terms"):
            for thing in self.place.json("list", kind)[:2]:
                with self.subTest(thing=thing["id"]):
                    self.assertIn(thing["name"], self.good("show", thing["id"]))

    def test_errors_are_json_on_demand(self):
        result = self.place.run("bike", "red", "--json")
        self.assertEqual(result.code, 2)
        self.assertEqual(json.loads(result.out)["problems"][0]["wrong"], 'no bike is called "red"')
        self.assertIn('no bike is called "red"', result.err)

    def test_help(self):
        self.assertIn("crankwise work", self.good("--help"))
        self.assertEqual(self.good(), self.good("--help"))
        for name in [c["name"] for c in json.loads(self.good("--commands-json")) if c["name"]]:
            self.assertIn(name, self.good(name, "--help"))
            self.assertIn(f"  {name} ", self.good("--help"))
        self.assertRegex(self.good("--version"), r"^crankwise \d+\.\d+\.\d+\n$")
