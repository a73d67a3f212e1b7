"""The server: everything that can be sent wrong. What is refused says what is wrong, and nothing of it is kept."""
import json
import struct
import urllib.parse

from place import Case
from server_shop import ServedRoutes
from serving import NEW_BIKE, Phone, serve
from sheet import Tags, png

EVIL = "<script>alert(1)</script><img src=x onerror=alert(1)>\"'&\u202e\u2028"


def webp(width, height):
    """The head of a picture without loss, by the WebP container specification, and nothing in it."""
    bits = struct.pack("<BI", 0x2F, (width - 1) | (height - 1) << 14) + bytes(7)
    return b"RIFF" + struct.pack("<I", 4 + 8 + len(bits)) + b"WEBPVP8L" + struct.pack("<I", len(bits)) + bits


class ServedBadInput(Case):
    def setUp(self):
        super().setUp()
        self.server = serve(self)
        self.phone = Phone(self.server)
        self.phone.new_job()

    def refused(self, status, path, body, says="", **headers):
        """With this status and word, and nothing was written."""
        seq = self.phone.get("/api/shop")["seq"]
        got = self.phone.ask("POST", path, body, **headers)
        self.assertEqual(got.status, status, f"{path} {str(body)[:200]}: {got.body.decode()[:300]}")
        self.assertIn(says, got.wrong, path)
        self.assertEqual(self.phone.get("/api/shop")["seq"], seq, path)
        return got

    def entry(self, says, status=400, **entry):
        return self.refused(status, "/api/jobs/1/entries", {"entries": [entry], "sure": False}, says)

    def test_what_is_no_json_object(self):
        for body, says in ((b"", "is not JSON"), (b"{", "is not JSON"), (b"{}{}", "is not JSON"), (b"nothing", "is not JSON"),
                           (b"[]", "is not an object"), (b"null", "is not an object"),
                           (b'"a"', "is not an object"), (b"{'end': 1}", "is not JSON"), (b'{"a": 1,}', "is not JSON"),
                           (b'{"act": 1e999}', "is not JSON"), (b'{"act": NaN}', "is not JSON"),
                           (b'{"act": -Infinity}', "is not JSON"), (b'{"act": 0x1}', "is not JSON"), (b'{"act": "\xff"}', "is not JSON"),
                           (b'{"act": "\xc0\x80"}', "is not JSON"),
                           (b'{"act": "\xed\xa0\x80"}', "is not JSON"), (b'{"act": "\\ud800"}', "is not JSON"),
                           (b'{"act": "a\nb"}', "is not JSON"), (b"\x00" * 1000, "is not JSON"), (b"\xef\xbb\xbf", "is not JSON"),
                           (b'{"a":' * 40 + b"1" + b"}" * 40, "nested too deeply"), (b"[" * 199_000, "nested too deeply"),
                           (b'{"act":' + b"[" * 100_000 + b"]" * 90_000, "nested too deeply")):
            for path in ("/api/jobs/1/undo", "/api/bikes", "/api/sums/oil-for-fuel"):
                self.refused(400, path, body, says)

    def test_every_field_of_the_wrong_type_missing_or_unknown(self):
        wrong = {str: (7, True, None, ["x"], {"x": "y"}), bool: ("x", 1, None, []), int: ("x", True, None, [7], {}),
                 list: ("x", 7, None, {"x": "y"}, [7], [["x"]]), dict: ("x", 7, None, ["x"], {"x": 7}, {"x": {}})}
        may_be_nothing = {("/api/bikes", "displacement_cc"), ("/api/bikes", "hours"), ("/api/bikes/{bike}/renewed", "hours")}
        for route, (_, body) in ServedRoutes.ANSWERS.items():
            method, path = route.split(" ")
            if method == "GET" or isinstance(body, bytes) or path in ("/api/pair", "/api/unpair"):
                continue
            to = ServedRoutes.path(self, route)
            self.refused(400, to, body | {"unasked": 1}, "unasked: is not asked for")
            for field, value in body.items():
                nothing = (path, field) in may_be_nothing
                if not nothing:
                    self.refused(400, to, {k: v for k, v in body.items() if k != field}, f"{field}: is missing")
                for other in wrong[int if nothing else type(value)]:
                    if other is not None or not nothing:
                        self.refused(400, to, body | {field: other}, field)
                if len(field) > 4:
                    self.refused(400, to, body | {field[:-1] + "q": value}, f'perhaps "{field}"')

    def test_entries(self):
        for entry in ("x", 7, None, [], {}):
            self.refused(400, "/api/jobs/1/entries", {"entries": [{"kind": "noted", "text": "a"}, entry], "sure": False}, "entries[1]")
        self.refused(400, "/api/jobs/1/entries", {"entries": [], "sure": False}, "entries: is empty")
        for kind in ("photo", "opened", "closed", "believed", "undone", "told-again", "", "Noted", EVIL):
            self.entry("entries[0].kind: \"", kind=kind, text="a")
        for says, entry in (
                ('perhaps "bogs-up-top"', {"kind": "answered", "finding": "bogs-up-tpo", "answer": "yes"}),
                ("yes, no or unsure", {"kind": "answered", "finding": "bogs-up-top", "answer": "maybe"}),
                ("does not apply to this bike", {"kind": "answered", "finding": "pump-filter-dirty-seen", "answer": "yes"}),
                ("entries[0].finding: is missing", {"kind": "answered", "answer": "yes"}),
                ("entries[0].so: is neither", {"kind": "context", "context": "new-owner", "so": "yes"}),
                ('perhaps "new-owner"', {"kind": "context", "context": "new-ownr", "so": True}),
                ("cannot be", {"kind": "measured", "reading": "compression", "told": "1380 psi"}),
                ("with its unit", {"kind": "measured", "reading": "compression", "told": "138"}),
                ("with its unit", {"kind": "measured", "reading": "compression", "told": "nan psi"}),
                ("with its unit", {"kind": "measured", "reading": "compression", "told": "1e999 psi"}),
                ('perhaps "compression"', {"kind": "measured", "reading": "compresion", "told": "138 psi"}),
                ("with its unit", {"kind": "measured", "reading": "compression", "told": "138 psi height=x"}),
                ("took", {"kind": "did", "step": "fit-new-plug", "took_min": -1}),
                ("took", {"kind": "did", "step": "fit-new-plug", "took_min": 1e300}),
                ("took_min: is not a number", {"kind": "did", "step": "fit-new-plug", "took_min": "6"}),
                ("paid", {"kind": "measured", "reading": "compression", "told": "138 psi", "paid": -1}),
                ("tok_min: is not asked for", {"kind": "did", "step": "fit-new-plug", "tok_min": 6}),
                ("hours: is not asked for", {"kind": "did", "step": "fit-new-plug", "hours": 6}),
                ("act: is not asked for", {"kind": "noted", "text": "a", "act": 6}),
                ("gone, better or same", {"kind": "ran", "result": "fine", "step": ""}),
                ("is not a run", {"kind": "ran", "result": "same", "step": "look-at-plug"}),
                ("swap or replace", {"kind": "put-back", "step": "clean-plug"}),
                ('perhaps "tank"', {"kind": "parts-off", "off": ["tnak"]}),
                ("entries[0].off: is not a list of texts", {"kind": "parts-off", "off": ["tank", 7]}),
                ("entries[0].text: is not a text", {"kind": "noted", "text": {"a": "b"}})):
            self.entry(says, **entry)
        for act in (0, 0.5, -1, 1e10, 1e308, "1", [1]):
            self.assertIn(self.phone.ask("POST", "/api/jobs/1/undo", {"act": act}).status, (400, 409))
        self.assertEqual(self.phone.words(1), [])

    def test_values(self):
        bike, figure = "/api/bikes/red-125/", {"reading": "compression", "told": "180 psi", "to": "", "baseline": False, "sure": True}
        for path, body, says in (
                ("hours", {"hours": 41, "as": "meter"}, "run backwards"), ("hours", {"hours": -1, "as": "correction"}, "0 or more"),
                ("hours", {"hours": 1e9, "as": "meter"}, "hours"), ("hours", {"hours": 50, "as": "guess"}, 'as: "guess"'),
                ("ridden", {"hours": 0}, "above 0"), ("ridden", {"hours": -1}, "above 0"), ("ridden", {"hours": 1e308}, "24 h"),
                ("renewed", {"what": "plug", "hours": 99, "day": "", "again": False}, "has 42 h"),
                ("renewed", {"what": "plug", "hours": None, "day": "2026-02-30", "again": False}, "is not a day"),
                ("renewed", {"what": "plgu", "hours": None, "day": "", "again": False}, 'perhaps "plug"'),
                ("figure", figure | {"told": "180"}, "with its unit"), ("figure", figure | {"told": "180 mm"}, "unit"),
                ("figure", figure | {"to": "170 psi"}, "not a range"),
                ("figure", figure | {"reading": "compresion"}, 'perhaps "compression"'),
                ("fact", {"fact": "strok", "told": "54 mm"}, "is not known of a bike"),
                ("fact", {"fact": "stroke", "told": "54"}, "with its unit")):
            self.refused(400, bike + path, body, says)
        for more, says in (({"name": ""}, "name"), ({"class": "motocross-12"}, "no class is called"),
                           ({"with": ["kick-strat"]}, 'perhaps "kick-start"'), ({"with": ["four-stroke"]}, "more than one of cycle"),
                           ({"without": ["carburettor"]}, "nothing of fuelling"), ({"without": [EVIL]}, "anyway"),
                           ({"displacement_cc": -1}, "-1 cannot be"), ({"displacement_cc": 1e6}, "cannot be"),
                           ({"hours": -1}, "cannot be"), ({"hours": 1e9}, "cannot be")):
            self.refused(400, "/api/bikes", NEW_BIKE | more, says)
        settings = {"money_per_hour": 60, "currency": "c", "lacks": [], "usual": {}}
        for more, says in (({"money_per_hour": 0}, "above 0"), ({"money_per_hour": -5}, "above 0"),
                           ({"lacks": ["multimetre"]}, 'perhaps "multimeter"'), ({"usual": {"height": "1400"}}, "with its unit"),
                           ({"usual": {"heigt": "1400 m"}}, 'perhaps "height"')):
            self.refused(400, "/api/settings", settings | more, says)
        for body, says in (({"end": "open", "causes": [], "words": ""}, "is not an end"),
                           ({"end": "not-proven", "causes": ["reed-chiped"], "words": ""}, 'perhaps "reed-chipped"'),
                           ({"end": "proven", "causes": [], "words": ""}, "not proven yet")):
            self.refused(400, "/api/jobs/1/close", body, says)
        self.refused(400, "/api/jobs", {"bike": "red-125", "complaint": "  "}, "complaint is empty")
        self.refused(404, "/api/jobs", {"bike": "red-126", "complaint": "a"}, 'perhaps "red-125"')

    def test_script_in_every_text_is_text(self):
        p = self.phone
        bike = p.post("/api/bikes", NEW_BIKE | {"name": EVIL})["made"].split("/")[1]
        self.assertRegex(bike, "^[a-z0-9-]+$")
        p.post("/api/settings", {"money_per_hour": 60, "currency": EVIL, "lacks": [], "usual": {}})
        job = int(p.post("/api/jobs", {"bike": bike, "complaint": EVIL})["made"].split("/")[1])
        p.write(job, {"kind": "noted", "text": EVIL}, {"kind": "skipped", "step": "fit-new-plug", "why": EVIL},
                {"kind": "did", "step": "fit-new-plug", "paid": 5})
        self.assertEqual(p.photo(job, png(), urllib.parse.quote(EVIL)).status, 200)
        p.post(f"/api/jobs/{job}/close", {"end": "given-up", "causes": [], "words": EVIL})
        view, shop = p.get(f"/api/jobs/{job}"), p.get("/api/shop")
        self.assertEqual((view["bike"]["name"], view["complaint"], view["words"], shop["currency"]), (EVIL,) * 4)
        self.assertEqual(sum(EVIL in line["words"] for line in view["log"]), 3)
        self.assertEqual(p.get("/api/bikes/" + bike)["name"], EVIL)
        sheet = p.ask("GET", f"/api/jobs/{job}/sheet.html").body.decode()
        page = Tags(sheet)
        self.assertNotIn("script", page.tags)
        self.assertFalse({a for a in page.attributes if a.startswith("on")})
        self.assertEqual(sheet.count("<img"), 1, "the photo")
        self.assertGreaterEqual(page.words.count(EVIL), 5)
        for path in (f"/api/bikes/{urllib.parse.quote(EVIL, safe='')}", f"/api/jobs/1/steps/{urllib.parse.quote(EVIL, safe='')}",
                     f"/{urllib.parse.quote(EVIL, safe='')}.js"):
            got = p.ask("GET", path)  # given back in the words of a refusal, as JSON
            self.assertEqual((got.status, got.headers["X-Content-Type-Options"]), (404, "nosniff"))
        self.refused(404, "/api/jobs", {"bike": EVIL, "complaint": "a"}, "no bike is called")

    def test_text_with_a_zero_byte(self):
        """No other shop would take it over, and lines of HTTP end there."""
        zero, entry = "a\0b", {"kind": "skipped", "step": "fit-new-plug", "why": "a\0b"}
        with self.subTest("caption"):
            self.assertEqual(self.phone.photo(1, png(), "a%00b").status, 400)
        for path, body in (
                ("/api/bikes", NEW_BIKE | {"name": zero}), ("/api/jobs", {"bike": "red-125", "complaint": zero}),
                ("/api/jobs/1/entries", {"entries": [{"kind": "noted", "text": zero}], "sure": False}),
                ("/api/jobs/1/entries", {"entries": [entry], "sure": False}),
                ("/api/settings", {"money_per_hour": 60, "currency": zero, "lacks": [], "usual": {}}),
                ("/api/jobs/1/close", {"end": "given-up", "causes": [], "words": zero})):
            with self.subTest(path):
                self.refused(400, path, body)
        for path in ("/api/jobs/1%00x", "/api/bikes/red-125%00x", "/api/shop%00x", "/api/shop?since=%00", "/app.js%00.txt",
                     "/etc/passwd%00.js"):
            with self.subTest(path):
                self.assertIn(self.phone.ask("GET", path).status, (400, 404))

    def test_what_is_written_can_be_moved_to_another_shop(self):
        self.phone.note(1, "long " * 30_000)
        self.phone.note(1, "\x01\x1b[31m\x7f\u0085\ufeff\ufffe\U0010ffff")
        self.phone.post("/api/bikes", NEW_BIKE | {"name": "\U0001f527"})
        self.moved()

    def test_a_bike_with_a_very_long_name(self):
        """Refused, or a bike as any other."""
        self.assertIn(self.phone.ask("POST", "/api/bikes", NEW_BIKE | {"name": "long " * 30_000}).status, (200, 400))
        for bike in self.phone.get("/api/shop")["bikes"]:
            with self.subTest("looked at"):
                self.phone.get("/api/bikes/" + bike["id"])
        self.moved()

    def moved(self):
        file, other = str(self.place.dir / "shop.json"), str(self.place.dir / "other.db")
        self.good("export", file)
        self.good("import", file, "--shop", other)
        self.assertEqual(self.place.json("bikes", "--shop", other), self.place.json("bikes"))

    def test_photos(self):
        good = png()
        for data, says in ((b"", "is empty"), (b"not a picture", "is not a JPEG, PNG or WebP"),
                           (b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", "is not a JPEG"),
                           (b"GIF89a" + bytes(50), "is not a JPEG"),
                           (good[:-4], "was cut off"), (good[:20], "damaged"), (png(40000, 1), "40000 x 1 pixels"),
                           (webp(20000 - 3617, 3)[:-3], "cut off"), (b"\xff\xd8\xff\xe0" + bytes(40), ""),
                           (b"%PDF-1.4" + bytes(99), "is not a JPEG")):
            got = self.phone.photo(1, data)
            self.assertEqual((got.status, says in got.wrong), (400, True), f"{data[:20]} {got.body}")
        for media_type in ("text/html", "application/json", "application/octet-stream", "", None, "imagepng", "x-image/png"):
            got = self.phone.photo(1, good, media_type=media_type)
            self.assertEqual((got.status, "is not a picture" in got.wrong), (415, True), media_type)
        got = self.phone.photo(1, bytes(9_000_000), media_type="text/html")
        self.assertEqual(got.status, 415, "its head is enough, but the answer comes only to who may send all")
        for size in (20_000_001, 20_000_000):
            got = self.phone.photo(1, good + bytes(size - len(good)))
            self.assertEqual(got.status, 413 if size > 20_000_000 else 400, got.body)
        self.assertEqual(self.phone.photo(1, good, "h%e4ngt").status, 400, "not UTF-8")
        self.assertEqual(self.phone.photo(9, good).status, 404)
        for act in ("x", "0", "-1", "1.5", "99", "9" * 20):
            self.assertEqual(self.phone.photo(1, good, "a&of=" + act).status, 400, act)
        self.assertEqual(self.phone.words(1), [])
        for n, media_type in enumerate(("image/webp", "image/jpeg", "image/png; x=y"), 1):  # its own bytes say what it is
            self.assertEqual(self.phone.photo(1, webp(640 + n, 480), media_type=media_type).status, 200)
            photo = self.phone.get("/api/jobs/1")["log"][-1]["photo"]
            self.assertEqual((photo["width"], photo["height"]), (640 + n, 480))
            self.assertEqual(self.phone.ask("GET", "/api/photos/" + photo["sha256"]).headers["Content-Type"], "image/webp")

    def test_recordings(self):
        def listen(body, media_type="audio/wav", asked="", job=1):
            return self.phone.ask("POST", f"/api/jobs/{job}/listen{asked}", body, Content_Type=media_type)
        for body in (b"", b"not a recording" * 99, b"RIFF" + bytes(60), png()):
            got = listen(body)
            self.assertEqual((got.status, "the recording" in got.wrong), (400, True), got.body)
        self.assertEqual(listen(b"x", "image/png").status, 415)
        self.assertEqual(listen(b"x", "application/json").status, 415)
        self.assertEqual(listen(b"x", asked="?of=ride").status, 400)
        self.assertEqual(listen(b"x", asked="?times=7").status, 400)
        self.assertEqual(listen(b"x", job=9).status, 404)
        self.assertEqual(self.phone.words(1), [], "nothing is written")

    def test_too_much_and_of_the_wrong_type(self):
        most = json.dumps({"entries": [{"kind": "noted", "text": ""}], "sure": False})
        for size, status in ((200_000, 200), (200_001, 413), (5_000_000, 413)):
            body = most.replace('""', '"' + "a" * (size - len(most)) + '"').encode()
            self.assertEqual(len(body), size)
            self.assertEqual(self.phone.ask("POST", "/api/jobs/1/entries", body).status, status, size)
            self.assertEqual(self.phone.ask("GET", "/api/hello").status, 200, "the line goes on")
        for media_type in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "application/jsonx",
                           "image/png", "", None):
            self.refused(415, "/api/jobs/1/undo", {"act": 1}, "is not JSON", Content_Type=media_type)
        self.assertEqual(self.phone.ask("GET", "/api/hello", b"a").status, 413, "nothing comes with GET")

    def test_from_other_sites(self):
        own = self.server.origin
        for headers, status in (({"Origin": own}, 400), ({"Origin": own, "Sec_Fetch_Site": "same-origin"}, 400),
                                ({"Origin": "http://bad.example"}, 403), ({"Origin": "null"}, 403),
                                ({"Origin": own.replace("http", "https")}, 403),
                                ({"Origin": own + ".bad.example"}, 403), ({"Origin": own[:-1]}, 403), ({"Origin": own + "/"}, 403),
                                ({"Origin": own + ", " + own}, 403), ({"Sec_Fetch_Site": "cross-site"}, 403),
                                ({"Sec_Fetch_Site": "same-site"}, 403),
                                ({"Sec_Fetch_Site": "none"}, 403), ({"Sec_Fetch_Site": "Same-Origin"}, 403),
                                ({"Origin": own, "Sec_Fetch_Site": "cross-site"}, 403),
                                ({"Origin": "http://bad.example", "Sec_Fetch_Site": "same-origin"}, 403)):
            self.assertEqual(self.phone.ask("POST", "/api/jobs", {}, **headers).status, status, headers)
            reads = 200 if status == 400 or headers == {"Sec_Fetch_Site": "none"} else 403  # typed in by the user
            for path in ("/api/shop", "/api/jobs/1", "/api/jobs/1/sheet.html", "/api/hello"):
                self.assertEqual(self.phone.ask("GET", path, **headers).status, reads, headers)
        self.assertEqual(self.phone.ask("GET", "/", Sec_Fetch_Site="cross-site").status, 200, "a link to the page")
        for host in ("bad.example", f"bad.example:{self.server.port}", "127.0.0.1", "localhost", "127.0.0.1:1",
                     self.server.host + ".bad.example", "", f"0.0.0.0:{self.server.port}", f"user@{self.server.host}",
                     f"192.0.2.9:{self.server.port}"):
            for path in ("/", "/api/hello", "/api/shop", "/app.js"):
                self.assertEqual(self.phone.ask("GET", path, Host=host).status, 421, host)
        self.assertEqual(self.phone.ask("GET", "/api/shop", Host=f"localhost:{self.server.port}").status, 200)

    def test_paths_and_methods(self):
        (self.place.dir / "secret.txt").write_text("root:x:0:0")
        index = self.phone.ask("GET", "/").body
        up = ("..", "%2e%2e", ".%2e", "%252e%252e", "..;", "..%5c", "%c0%ae%c0%ae", "....")
        paths = ["/" + "/".join([u] * 9 + [file]) for u in up for file in ("etc/passwd", "etc/hosts.txt", "home/data/crankwise/shop.db")]
        paths += ["//etc/passwd", "///etc/passwd", "/%2fetc/passwd", "/..%2f..%2f..%2f..%2fetc%2fpasswd", "/\\..\\..\\etc\\passwd",
                  "/./etc/passwd", "/file:///etc/passwd", "/%", "/%zz.js", "/?/etc/passwd",
                  "/api/../etc/passwd", "/api/jobs/../../etc/passwd", "/api/jobs/1/sheet.html/../../../../etc/passwd",
                  "/api/jobs/1/..%2f..%2fshop", "/api/photos/..%2f..%2fshop.db", "/api//shop", "/API/shop", "/api/shop/", "/api/jobs/+1",
                  "/api/jobs/1.0", "/api/jobs/0x1",
                  "/api/jobs/%31%20", "/api/jobs/\u0661"]
        for path in paths:
            got = self.phone.ask("GET", urllib.parse.quote(path, safe="/%?;:\\+.,"))
            self.assertTrue(got.status == 404 or got.body == index, f"{path}: {got.status} {got.body[:100]}")
        for method in ("PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "CONNECT", "PROPFIND", "get", "GETS", "X" * 200):
            for path in ("/", "/api/shop", "/api/jobs/1", "/api/nothing"):
                got = self.phone.ask(method, path, Origin="http://bad.example" if method == "OPTIONS" else None)
                self.assertEqual((got.status, got.headers["Access-Control-Allow-Origin"]), (405, None), method)
