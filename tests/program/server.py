"""The server: a whole job as the page works on it."""
import re
import urllib.parse

from place import CLASS, ROOT, Case, Truth
from serving import NEW_BIKE, Phone, new_key, serve, wire
from sheet import png


class ServedJob(Case):
    """A job as the phone at the bench does it."""

    def setUp(self):
        super().setUp()
        self.server = serve(self)
        self.phone = Phone(self.server)

    def view(self, job=1):
        view = self.phone.get(f"/api/jobs/{job}")
        need, may = wire("JobView")
        self.assertTrue(need <= set(view) <= may, set(view))
        return view

    def follow(self, truth, job, most):
        """Does what the view says until it is proven; how many orders that took."""
        for count in range(most):
            view = self.view(job)
            if view["proven"]:
                self.assertIsNone(view["next"])
                return count
            step = view["next"]
            answers = [{"kind": "answered", "finding": f["id"], "answer": "yes" if truth.so(f["id"]) else "no"} for f in step["ask"]]
            did, ran = {"kind": "did", "step": step["step"]}, {"kind": "ran", "step": ""}
            if step["act"] == "question":
                self.phone.write(job, *answers)
            elif step["act"] == "look":
                self.phone.write(job, did, *answers)
            elif step["act"] == "run":
                self.phone.write(job, ran | {"step": step["step"], "result": "gone" if truth.fixed else "same"})
            else:
                self.assertIn(step["act"], ("repair", "swap"), "gave up on " + truth.fault)
                truth.do(step["step"])
                self.phone.write(job, did, ran | {"result": "gone" if truth.fixed else "same"})
        self.fail(f"{truth.fault}: not proven after {most} orders; then {view['suspects'][:3]}")

    def test_from_the_first_words_to_the_proof(self):
        p = self.phone
        job = p.new_job("flat on top, spits back through the carburettor")
        heard = {h["id"]: h for h in p.get("/api/hear?bike=red-125&words=" + urllib.parse.quote("flat on top, spits back"))}
        self.assertLessEqual({"flat-on-top", "spits-back"}, set(heard))
        view = self.view(job)
        self.assertEqual(view["log"], [], "free words were taken for answers")
        self.assertIsNone(view["undo"])
        self.assertLessEqual({"flat-on-top", "spits-back"}, {h["id"] for h in view["to_confirm"]})
        p.write(job, *({"kind": "answered", "finding": h["id"], "answer": "yes"} for h in view["to_confirm"]))
        self.assertEqual(self.view(job)["to_confirm"], [])
        early = p.ask("POST", f"/api/jobs/{job}/close", {"end": "proven", "causes": [], "words": ""})
        self.assertEqual((early.status, "not proven yet" in early.wrong), (400, True))
        self.follow(Truth(CLASS, "reed-chipped"), job, 60)
        view = self.view(job)
        self.assertIn("reed-chipped", [f["id"] for f in view["likely_causes"]])
        self.assertLess(view["doubt"], 0.1)
        p.post(f"/api/jobs/{job}/close", {"end": "proven", "causes": [], "words": "one petal chipped"})
        view = self.view(job)
        self.assertEqual((view["end"], [c["id"] for c in view["causes"]], view["words"]),
                         ("proven", ["reed-chipped"], "one petal chipped"))
        shop = p.get("/api/shop")
        self.assertEqual((shop["open"], [j["job"] for j in shop["closed"]], shop["closed_count"]), ([], [job], 1))
        late = p.ask("POST", f"/api/jobs/{job}/entries", {"entries": [{"kind": "noted", "text": "late"}], "sure": False})
        self.assertEqual((late.status, "is closed" in late.wrong), (400, True))
        bike = p.get("/api/bikes/red-125")
        self.assertIn("reeds", [r["id"] for r in bike["renewed"]], "what the job renewed")
        self.assertIn("taken back", p.post(f"/api/jobs/{job}/undo", {"act": view["undo"]["act"]})["words"])
        self.assertEqual(self.view(job)["end"], "open")

    def test_entries_of_every_kind(self):
        job = self.phone.new_job("bogs up top, spits back")
        sent = [
            ({"kind": "answered", "finding": "bogs-up-top", "answer": "unsure"}, "bogs at high revs"),
            ({"kind": "context", "context": "new-owner", "so": True}, "just bought"),
            ({"kind": "not-meant", "id": "spits-back"}, "left out of the rider's words: spits back"),
            ({"kind": "measured", "reading": "compression", "told": "138 psi height=1400 m", "took_min": 12},
             "138 psi, height 1400 m (took 12 min)"),
            ({"kind": "did", "step": "swap-coil", "took_min": 6, "paid": 9.5}, "(took 6 min, paid 9.5)"),
            ({"kind": "put-back", "step": "swap-coil"}, "old part back in"),
            ({"kind": "ran", "result": "better", "step": "", "took_min": None}, "better"),
            ({"kind": "skipped", "step": "crankcase-pressure-test", "why": "no kit"}, "(no kit)"),
            ({"kind": "parts-off", "off": ["tank", "seat"]}, "off the bike: tank, seat"),
            ({"kind": "noted", "text": "hose is new \u00e9\U0001f527"}, "hose is new \u00e9\U0001f527")]
        described = (ROOT / "ui/src/wire.ts").read_text().split("export type NewEntry =")[1].split(";\n\n")[0]
        self.assertEqual({e["kind"] for e, _ in sent}, set(re.findall(r'kind: "([a-z-]+)"', described)))
        for entry, says in sent:
            self.phone.write(job, entry)
            line = self.view(job)["log"][-1]
            self.assertEqual(line["kind"], entry["kind"])
            self.assertIn(says, line["words"])
        view = self.view(job)
        self.assertEqual(view["off"], ["seat", "tank"])
        self.assertTrue(any("163 psi at sea level" in sentence for line in view["log"] for sentence in line["verdict"]))
        # Several are one act: all, or none if one of them cannot be.
        self.phone.write(job, *(e for e, _ in sent if e["kind"] in ("answered", "did", "noted")))
        log = self.view(job)["log"]
        self.assertEqual((len(log), len({line["act"] for line in log[-3:]})), (len(sent) + 3, 1))
        bad = self.phone.ask("POST", f"/api/jobs/{job}/entries",
                             {"entries": [sent[-1][0], {"kind": "did", "step": "fit-new-plg"}], "sure": False})
        self.assertEqual((bad.status, 'perhaps "fit-new-plug"' in bad.wrong), (400, True))
        self.assertEqual(self.view(job)["log"], log)

    def test_a_reading_that_can_hardly_be_meant(self):
        job = self.phone.new_job()
        order = {"entries": [{"kind": "noted", "text": "with it"}, {"kind": "measured", "reading": "compression", "told": "20 psi"}],
                 "sure": False}
        key = new_key()
        doubted = self.phone.ask("POST", f"/api/jobs/{job}/entries", order, Crankwise_Entry=key)
        self.assertEqual((doubted.status, doubted.json["doubted"]), (409, True))
        self.assertIn("perhaps 20 bar", doubted.wrong)
        self.assertEqual(self.phone.words(job), [])
        self.assertFalse(self.phone.post(f"/api/jobs/{job}/entries", order | {"sure": True}, Crankwise_Entry=key)["again"])
        self.assertEqual(self.phone.words(job), ["note: with it", "compression: 20 psi"])
        cannot = self.phone.ask("POST", f"/api/jobs/{job}/entries",
                                {"entries": [order["entries"][1] | {"told": "1380 psi"}], "sure": True})
        self.assertEqual((cannot.status, "1380 psi cannot be" in cannot.wrong), (400, True))

    def test_taking_back(self):
        job, p = self.phone.new_job(), self.phone
        views = []
        for n in range(3):
            views.append(self.view(job))
            p.write(job, {"kind": "noted", "text": f"a{n}"}, {"kind": "answered", "finding": "bogs-up-top", "answer": "unsure"})
        seen = self.view(job)["undo"]
        self.assertIn("a2", seen["words"] + self.view(job)["log"][-2]["words"])
        Phone(self.server).note(job, "of another phone")
        overtaken = p.ask("POST", f"/api/jobs/{job}/undo", {"act": seen["act"]})
        self.assertEqual((overtaken.status, "doubted" in overtaken.json), (409, False))
        self.assertIn("of another phone", overtaken.wrong)
        self.assertEqual(len(p.words(job)), 7)
        p.post(f"/api/jobs/{job}/undo", {"act": self.view(job)["undo"]["act"]})
        for before in reversed(views):
            p.post(f"/api/jobs/{job}/undo", {"act": self.view(job)["undo"]["act"]})
            self.assertEqual(self.view(job) | {"seq": 0}, before | {"seq": 0})
        self.assertEqual(p.ask("POST", f"/api/jobs/{job}/undo", {"act": seen["act"]}).status, 409)

    def test_photos(self):
        job, p = self.phone.new_job(), self.phone
        first, second = png(3, 2), png(5, 4)
        key = new_key()
        for again in (False, True):
            self.assertEqual(p.photo(job, first, "plug,%20black%20%C3%A9", Crankwise_Entry=key).json["again"], again)
        p.photo(job, second, media_type="image/jpeg")  # what it is goes by its bytes
        photos = [line["photo"] for line in self.view(job)["log"]]
        self.assertEqual([(x["width"], x["height"]) for x in photos], [(3, 2), (5, 4)])
        self.assertIn("plug, black \u00e9", p.words(job)[0])
        for data, photo in zip((first, second), photos):
            got = p.ask("GET", "/api/photos/" + photo["sha256"])
            self.assertEqual((got.status, got.body, got.headers["Content-Type"]), (200, data, "image/png"))
            self.assertIn("sandbox", got.headers["Content-Security-Policy"])
        p.post(f"/api/jobs/{job}/undo", {"act": self.view(job)["undo"]["act"]})
        self.assertEqual(len(self.view(job)["log"]), 1)
        p.note(job, "the plug")
        act = self.view(job)["log"][-1]["act"]
        p.photo(job, second, f"&of={act}")
        self.assertEqual([line["photo"] and line["photo"]["of"] for line in self.view(job)["log"]], [0, None, act])

    def test_sheets(self):
        job, p = self.phone.new_job("bogs up top"), self.phone
        p.write(job, {"kind": "did", "step": "fit-new-plug"}, {"kind": "ran", "result": "gone", "step": ""})
        p.photo(job, png(), "the%20plug")
        for form, media_type, begins in (("html", "text/html; charset=utf-8", b"<!DOCTYPE html>"), ("pdf", "application/pdf", b"%PDF-"),
                                         ("txt", "text/plain; charset=utf-8", b"Job sheet 1")):
            sheet = p.ask("GET", f"/api/jobs/{job}/sheet.{form}")
            self.assertEqual((sheet.status, sheet.headers["Content-Type"]), (200, media_type))
            self.assertTrue(sheet.body.startswith(begins))
            self.assertIn("sandbox", sheet.headers["Content-Security-Policy"])
            self.assertNotIn("script-src", sheet.headers["Content-Security-Policy"])
            if form != "pdf":
                self.assertEqual(sheet.body.decode(), self.good("sheet", "--as", "text" if form == "txt" else form))
        self.assertEqual(p.ask("GET", f"/api/jobs/{job}/sheet.doc").status, 404)

    def test_closed_jobs_page_by_page(self):
        p = self.phone
        for bike in ("Red 125", "Blue 250"):
            p.post("/api/bikes", NEW_BIKE | {"name": bike})
        for n in range(1, 46):
            p.post("/api/jobs", {"bike": "red-125" if n % 3 else "blue-250", "complaint": f"bogs {'Loudly' if n % 2 else 'softly'}"})
            p.post(f"/api/jobs/{n}/close", {"end": "given-up", "causes": [], "words": f"word{n}"})
        p.post("/api/jobs", {"bike": "red-125", "complaint": "an open one"})
        for query, expected in (
                ("", range(1, 46)), ("bike=blue-250", range(3, 46, 3)), ("words=loudly", range(1, 46, 2)),
                ("words=LOUDLY+blue", range(3, 46, 6)),
                ("words=word7", [7]), ("words=an+open", []), ("bike=nobody", []),
                ("bike=red-125&words=softly", [n for n in range(2, 46, 2) if n % 3])):
            found, before, more = [], "", True
            while more:
                page = p.get(f"/api/jobs?{query}{before}")
                more, before = page["more"], f"&before={page['jobs'][-1]['job'] if page['jobs'] else 0}"
                self.assertEqual(len(page["jobs"]), 20) if more else self.assertLessEqual(len(page["jobs"]), 20)
                found += [line["job"] for line in page["jobs"]]
            self.assertEqual(found, sorted(expected, reverse=True), query)
        shop = p.get("/api/shop")
        self.assertEqual(([j["job"] for j in shop["closed"]], shop["closed_count"]), (list(range(45, 25, -1)), 45))
