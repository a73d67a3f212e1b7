"""The server: bikes, the shop, every route's answer, and what changes show where."""
import datetime
import gzip
import re

from listen import recording
from place import CLASS, KNOWLEDGE, ROOT, Case
from serving import NEW_BIKE, Phone, routes, serve, wire
from sheet import png


class ServedBike(Case):
    """The page of a bike, and the shop's settings."""

    def setUp(self):
        super().setUp()
        self.phone = Phone(serve(self))

    def tell(self, what, body, **headers):
        return self.phone.post(f"/api/bikes/red-125/{what}", body, **headers)

    def bike(self):
        return self.phone.get("/api/bikes/red-125")

    def test_what_is_told_and_taken_back(self):
        self.phone.new_job()
        states, today = [], datetime.datetime.now(datetime.timezone.utc).date()
        plug = {"what": "plug", "hours": None, "day": "", "again": False}
        for what, body, so in (
                ("hours", {"hours": 50, "as": "meter"}, lambda b: b["hours"] == 50),
                ("hours", {"hours": 44, "as": "correction"}, lambda b: b["hours"] == 44),
                ("hours", {"hours": 3, "as": "new-meter"}, lambda b: b["hours"] == 44),
                ("hours", {"hours": 5.5, "as": "meter"}, lambda b: b["hours"] == 46.5),
                ("renewed", plug | {"hours": 12},
                 lambda b: [(r["id"], r["hours"], r["day"]) for r in b["renewed"]] == [("plug", 12, "")]),
                ("renewed", plug | {"again": True}, lambda b: b["renewed"][0]["day"] in (str(today), str(today + datetime.timedelta(1)))),
                ("figure", {"reading": "compression", "told": "180 psi", "to": "200 psi", "baseline": False, "sure": False},
                 lambda b: [f["told"] for f in b["figures"]] == ["180 to 200 psi"]),
                ("figure", {"reading": "compression", "told": "190 psi height=1400 m", "to": "", "baseline": True, "sure": False},
                 lambda b: [(f["told"], f["baseline"]) for f in b["figures"]] == [("190 psi, height 1400 m", True),
                                                                                  ("180 to 200 psi", False)]),
                ("fact", {"fact": "stroke", "told": "54.5 mm"},
                 lambda b: [(f["id"], f["told"]) for f in b["facts"]] == [("stroke", "54.5 mm")]),
                ("use", {"hard": True}, lambda b: b["hard"])):
            states.append(self.bike())
            self.tell(what, body)
            self.assertTrue(so(self.bike()), f"{what}: {self.bike()}")
        for before in reversed(states):
            words = self.bike()["undo"]
            self.assertEqual(self.tell("undo", {})["words"], "taken back: " + words)
            self.assertEqual(self.bike() | {"seq": 0}, before | {"seq": 0})
        self.assertEqual(self.bike()["undo"], "")
        self.assertEqual(self.phone.ask("POST", "/api/bikes/red-125/undo", {}).status, 400)

    def test_what_is_due(self):
        self.phone.new_job()
        due = self.bike()["due"]
        self.assertEqual({frozenset(i) for i in due["items"]}, {frozenset(wire("DueItem")[1])})
        self.tell("renewed", {"what": "plug", "hours": 0, "day": "", "again": False})
        urgency = lambda: {i["upkeep"]: i["urgency"] for i in self.bike()["due"]["items"]}["plug"]
        self.assertEqual(urgency(), "overdue")
        self.tell("renewed", {"what": "plug", "hours": None, "day": "", "again": True})
        self.assertEqual(urgency(), "later")

    def test_a_figure_that_can_hardly_be_meant(self):
        self.phone.new_job()
        figure = {"reading": "compression", "told": "18 psi", "to": "", "baseline": False, "sure": False}
        doubted = self.phone.ask("POST", "/api/bikes/red-125/figure", figure)
        self.assertEqual((doubted.status, doubted.json["doubted"]), (409, True))
        self.assertEqual(self.bike()["figures"], [])
        self.tell("figure", figure | {"sure": True})
        self.assertEqual([f["told"] for f in self.bike()["figures"]], ["18 psi"])

    def test_equipment(self):
        made = self.phone.post("/api/bikes", NEW_BIKE | {"name": "Old", "with": ["lighting"], "without": ["exhaust-valve"],
                                                         "displacement_cc": 144, "hours": None})
        bike = self.phone.get("/api/bikes/" + made["made"].split("/")[1])
        traits = {t["id"] for t in bike["traits"]}
        self.assertEqual(traits, set(KNOWLEDGE["class"][CLASS]["traits"]) - {"exhaust-valve"} | {"lighting"})
        self.assertEqual((bike["displacement_cc"], bike["hours"]), (144, None))

    def test_settings(self):
        told = {"money_per_hour": 55, "currency": "crowns", "lacks": ["multimeter"], "usual": {"height": "1400 m"}}
        self.phone.post("/api/settings", told)
        self.assertEqual(self.phone.get("/api/settings"), told)
        self.assertEqual(self.phone.get("/api/shop")["currency"], "crowns")
        job = self.phone.new_job()
        self.phone.write(job, {"kind": "measured", "reading": "compression", "told": "138 psi"})
        self.assertTrue(any("163 psi" in s for s in self.phone.get(f"/api/jobs/{job}")["log"][0]["verdict"]), "the usual height")
        self.phone.post("/api/settings", told | {"lacks": [], "usual": {}})
        self.assertEqual(self.phone.get("/api/settings"), told | {"lacks": [], "usual": {}})


class ServedRoutes(Case):
    """Every route, and what changes show where."""

    # Route: (type of its answer in wire.ts, what is sent). The order is that of a small job.
    ANSWERS = {
        "GET /api/hello": ("Hello", None), "POST /api/bikes": ("Written", NEW_BIKE | {"name": "Blue"}), "GET /api/words": ("Words", None),
        "POST /api/settings": ("Written", {"money_per_hour": 50, "currency": "crowns", "lacks": [], "usual": {}}),
        "GET /api/settings": ("Settings", None),
        "GET /api/bikes/{bike}": ("BikeView", None), "POST /api/bikes/{bike}/hours": ("Written", {"hours": 43, "as": "meter"}),
        "POST /api/bikes/{bike}/ridden": ("Written", {"hours": 1}), "POST /api/bikes/{bike}/use": ("Written", {"hard": True}),
        "POST /api/bikes/{bike}/renewed": ("Written", {"what": "plug", "hours": None, "day": "", "again": False}),
        "POST /api/bikes/{bike}/figure": ("Written", {"reading": "compression", "told": "180 psi", "to": "", "baseline": False,
                                                      "sure": False}),
        "POST /api/bikes/{bike}/fact": ("Written", {"fact": "stroke", "told": "54 mm"}), "POST /api/bikes/{bike}/undo": ("Written", {}),
        "GET /api/hear": ("[Heard]", None), "POST /api/jobs": ("Written", {"bike": "red-125", "complaint": "bogs"}),
        "POST /api/jobs/{job}/entries": ("Written", {"entries": [{"kind": "noted", "text": "a"}], "sure": False}),
        "POST /api/jobs/{job}/listen": ("HeardTake", recording()),
        "POST /api/jobs/{job}/photos": ("Written", png()), "GET /api/photos/{sha256}": ("", None),
        "GET /api/jobs/{job}": ("JobView", None),
        "GET /api/jobs/{job}/steps/{step}": ("Option", None), "GET /api/jobs/{job}/why/{fault}": ("Why", None),
        "GET /api/jobs/{job}/sheet.html": ("", None), "GET /api/jobs/{job}/sheet.txt": ("", None),
        "GET /api/jobs/{job}/sheet.pdf": ("", None),
        "POST /api/jobs/{job}/undo": ("Written", {"act": 2}),
        "POST /api/jobs/{job}/close": ("Written", {"end": "given-up", "causes": [], "words": ""}),
        "GET /api/shop": ("Shop", None), "GET /api/jobs": ("JobLines", None), "GET /api/learned": ("Learned", None),
        "GET /api/sums": ("Sums", None),
        "POST /api/sums/{sum}": ("SumAnswer", {"told": {"fuel": "20 L", "ratio": "32 :1"}}),
        "POST /api/pair": ("refused", {"code": "7KQM-2X9D"}),
        "POST /api/unpair": ("Hello", {})}

    TYPES = {"POST /api/jobs/{job}/listen": "audio/wav", "POST /api/jobs/{job}/photos": "image/png"}

    def setUp(self):
        super().setUp()
        self.server = serve(self)
        self.phone = Phone(self.server)

    def path(self, route, sha256="", bike="red-125", job=1, step="look-at-plug", fault="reed-chipped", sum_id="oil-for-fuel"):
        path = route.split(" ")[1].format(bike=bike, job=job, step=step, fault=fault, sha256=sha256, **{"sum": sum_id})
        return path + "?bike=red-125&words=bogs+up+top" if path == "/api/hear" else path

    def test_none_is_forgotten(self):
        """The table here, that of the docs and that of the program are one."""
        told, before = [], ""
        for line in (ROOT / "docs/api.md").read_text().split("\n"):
            for item in re.findall(r"`([^`]+)`", line.split("|")[1]) if line.startswith("| `") else []:
                before = item.split("?")[0] if " " in item else before.rsplit("/", 1)[0] + "/" + item
                told.append(before)
        self.assertEqual(sorted(told), sorted(self.ANSWERS))
        self.assertEqual(sorted(" ".join(r) for r in routes()), sorted(self.ANSWERS))

    def test_each_answers_in_its_shape(self):
        self.phone.new_job()
        sha256 = ""
        for route, (shape, sent) in self.ANSWERS.items():
            with self.subTest(route):
                more = {"Content_Type": self.TYPES.get(route, "application/json")}
                got = self.phone.ask(route.split(" ")[0], self.path(route, sha256), sent, **more)
                self.assertEqual(got.status, 400 if shape == "refused" else 200, got.body)
                if shape and shape != "refused":
                    name, things = (shape[1:-1], got.json) if shape[0] == "[" else (shape, [got.json])
                    self.assertTrue(things)
                    need, may = wire(name)
                    for thing in things:
                        self.assertLessEqual(need, set(thing))
                        self.assertLessEqual(set(thing), may)
                if route.endswith("/photos"):
                    sha256 = self.phone.get("/api/jobs/1")["log"][-1]["photo"]["sha256"]
                if route.startswith("GET"):
                    head = self.phone.ask("HEAD", self.path(route, sha256))
                    self.assertEqual((head.status, head.body), (200, b""))
                    packed = self.phone.ask("GET", self.path(route, sha256), Accept_Encoding="gzip")
                    if packed.headers["Content-Encoding"]:
                        self.assertEqual(gzip.decompress(packed.body), got.body)

    def test_each_refuses_in_one_shape(self):
        self.phone.new_job()
        for route in self.ANSWERS:
            method, media_type = route.split(" ")[0], self.TYPES.get(route, "application/json")
            with self.subTest(route):
                if "{" in route:
                    for odd in ("nope", "0", "-1", "2147483648", "9" * 40, "%27--", "%F0%9F%94%A7", "%ff", "a%20b", "%3Cb%3E"):
                        path = self.path(route, odd, odd, odd, odd, odd, odd)
                        got = self.phone.ask(method, path, self.ANSWERS[route][1], Content_Type=media_type)
                        self.assertEqual(got.status, 404, f"{path}: {got.body}")
                if method == "POST" and self.ANSWERS[route][1]:
                    self.assertEqual(self.phone.ask("POST", self.path(route), {}, Content_Type=media_type).status, 400)
                other = "GET" if method == "POST" else "POST"
                if f"{other} {route.split(' ')[1]}" not in self.ANSWERS:
                    got = self.phone.ask(other, self.path(route), {} if other == "POST" else None)
                    self.assertEqual((got.status, method in got.wrong), (405, True), got.body)

    def test_the_page(self):
        folder, outside = self.place.dir / "page", self.place.dir / "outside.js"
        folder.mkdir()
        self.assertIn("the page's files are not there", self.bad("serve", "--port", "0", "--page", str(folder)))
        files = {"index.html": b"<!doctype html>", "app.js": b"// page", "app.css": b"", "icon.svg": b"<svg/>", "sw.js": b"// worker"}
        hidden = {"notes.md": b"not of the page", "shop.db": b"not of the page"}
        for name, data in (files | hidden).items():
            (folder / name).write_bytes(data)
        (folder / "inner").mkdir()
        (folder / "inner/app.js").write_bytes(b"not of the page")
        outside.write_bytes(b"not of the page")
        phone = Phone(serve(self, "--page", str(folder)))
        for path in ("/", "/jobs/7", "/bikes/red-125", "/any/screen"):
            self.assertEqual(phone.ask("GET", path).body, files["index.html"])
        for name, data in files.items():
            got = phone.ask("GET", "/" + name)
            self.assertEqual((got.status, got.body), (200, data), name)
            self.assertEqual(phone.ask("GET", "/" + name, If_None_Match=got.headers["ETag"]).status, 304)
            self.assertEqual(phone.ask("GET", "/" + name, If_None_Match='"0"').status, 200)
            self.assertEqual(gzip.decompress(phone.ask("GET", "/" + name, Accept_Encoding="gzip").body), data)
        for path in ("/notes.md", "/shop.db", "/inner/app.js", "/../outside.js", "/..%2foutside.js", "/app.jsx", "/app.js/"):
            self.assertNotIn(b"not of the page", phone.ask("GET", path).body, path)
        self.assertEqual(phone.ask("GET", "/notes.md").status, 404)
        self.assertEqual(phone.ask("POST", "/", {}).status, 405)

    def test_looking_again(self):
        job, other = self.phone.new_job(), Phone(self.server)
        for path in ("/api/shop", f"/api/jobs/{job}"):
            seen = self.phone.get(path)["seq"]
            self.assertEqual(self.phone.ask("GET", f"{path}?since={seen}").status, 204)
            other.note(job, "something new on " + path)
            now = self.phone.get(f"{path}?since={seen}")
            self.assertGreater(now["seq"], seen)
            self.assertEqual(self.phone.ask("GET", f"{path}?since={now['seq']}").status, 204)
        seen = self.phone.get(f"/api/jobs/{job}")["seq"]
        other.post("/api/settings", {"money_per_hour": 500, "currency": "crowns", "lacks": [], "usual": {}})
        self.phone.get(f"/api/jobs/{job}?since={seen}")  # the advice may be another by now
        seen = self.phone.get(f"/api/jobs/{job}")["seq"]
        other.post("/api/jobs", {"bike": "red-125", "complaint": "another job"})
        self.assertEqual(self.phone.ask("GET", f"/api/jobs/{job}?since={seen}").status, 204, "another job is not of this one")
        for bad in ("-1", "x", "1.5", "9" * 16, "1e3"):
            self.assertEqual(self.phone.ask("GET", "/api/shop?since=" + bad).status, 400, bad)

    def test_two_phones_on_one_job(self):
        one, two = self.phone, Phone(self.server)
        job = one.new_job()
        for n in range(3):
            one.note(job, f"one {n}")
            self.assertEqual(two.words(job)[-1], f"note: one {n}")
            two.note(job, f"two {n}")
            self.assertEqual(one.words(job)[-1], f"note: two {n}")
        self.assertEqual(one.get(f"/api/jobs/{job}"), two.get(f"/api/jobs/{job}"))

    def test_a_bench_sum(self):
        form = next(s for s in self.phone.get("/api/sums")["sums"] if s["id"] == "oil-for-fuel")
        self.assertEqual([i["id"] for i in form["inputs"]][:2], ["fuel", "ratio"])
        got = self.phone.post("/api/sums/oil-for-fuel", {"told": {"fuel": "20 L", "ratio": "32 :1"}})
        self.assertIn("625 mL", [v["told"] for v in got["values"]])
        for told in ({"fuel": "20"}, {"fuel": "20 L", "ratio": "nan"}, {"ful": "20 L"}, {"fuel": 20}, {}):
            self.assertEqual(self.phone.ask("POST", "/api/sums/oil-for-fuel", {"told": told}).status, 400, told)
