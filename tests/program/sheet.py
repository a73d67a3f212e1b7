"""The job sheet and photos, from outside."""
import html.parser
import sqlite3
import struct
import subprocess
import zlib

from place import CLASS, ROOT, Case


def png(width=3, height=2):
    """A grey picture, by the PNG specification (ISO/IEC 15948)."""
    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
    rows = (b"\0" + b"\x80" * width) * height
    return (b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)) +
            chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b""))


class Tags(html.parser.HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.tags, self.attributes, self.words = set(), set(), ""
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.add(tag)
        self.attributes.update(name for name, _ in attributes)

    def handle_data(self, data):
        self.words += data


class Sheet(Case):
    def job(self, words="bogs up top"):
        self.place.json("take-in", self.bike("Red 125", CLASS, "--hours", "42"), words)

    def picture(self, name="p.png", data=None):
        path = self.place.dir / name
        path.write_bytes(png() if data is None else data)
        return str(path)

    def pages(self, file):
        said = subprocess.run(["pdfinfo", file], capture_output=True, text=True, check=True).stdout
        return int(next(line.split()[1] for line in said.split("\n") if line.startswith("Pages:")))

    def test_each_form_of_each_demo_job(self):
        for job in ("1", "2", "3", "4", "5"):
            text = self.good("--demo", "sheet", "--job", job)
            self.assertIn("What was checked", text)
            self.assertLessEqual(max(len(line) for line in text.split("\n")), 78)
            self.assertEqual(self.good("--demo", "sheet", "--job", job, "--as", "html").count("<html"), 1)
            pdf = str(self.place.dir / f"{job}.pdf")
            self.good("--demo", "sheet", "--job", job, "--to", pdf)
            self.assertLessEqual(self.pages(pdf), 2)
            words = subprocess.run(["pdftotext", "-q", pdf, "-"], capture_output=True, text=True, check=True).stdout
            self.assertIn("What was checked", words)
        sheet = self.place.json("--demo", "sheet", "--job", "2")
        self.assertEqual([f["fault"] for f in sheet["found"]], ["pump-filter-clogged"])
        self.assertEqual([p["money"] for p in sheet["parts"] if not p["usual"]], [24.5])
        self.assertEqual(sheet["checked"][0]["readings"][0]["verdict"], "too low")

    def test_minutes_and_money(self):
        self.job()
        self.good("did", "look-at-plug", "plug-looks-bad=no", "--took", "4")
        self.good("did", "fit-new-plug", "--took", "6", "--paid", "9.5")
        self.good("ran", "same", "--took", "11")
        self.good("measured", "compression", "150 psi", "--took", "12")
        self.assertIn("(took 6 min, paid 9.5)", self.good("log"))
        self.assertEqual(self.entries()[2]["data"], {"step": "fit-new-plug", "took_min": 6, "paid": 9.5})
        sheet = self.place.json("sheet")
        self.assertEqual([(t["minutes"], t["usual"]) for t in sheet["time"][:4]],
                         [(4, False), (6, False), (11, False), (12, False)])
        self.assertEqual([(p["money"], p["usual"]) for p in sheet["parts"]], [(9.5, False)])
        self.good("undo")
        self.assertEqual(len(self.place.json("sheet")["time"]), 3)
        for bad in (("--took", "-1"), ("--took", "x"), ("--paid", "-1"), ("--paid", "nan"), ("--took", "99999")):
            self.bad("did", "fit-new-plug", *bad)
        self.assertEqual(len(self.entries()), 4)

    def test_nothing_typed_is_markup(self):
        evil = "<script>alert(1)</script><img src=x onerror=alert(1)>\"'&"
        bike = self.bike(evil, CLASS, "--hours", "42")
        self.good("settings", "--currency", evil)
        self.place.json("take-in", bike, evil)
        self.good("did", "fit-new-plug", "--paid", "5")
        self.good("photo", self.picture(), "--caption", evil)
        self.good("close", "given-up", "--words", evil)
        plain = self.good("--demo", "sheet", "--job", "1", "--as", "html")
        page = Tags(self.good("sheet", "--as", "html"))
        self.assertEqual(page.tags - Tags(plain).tags, {"div", "figure", "img", "figcaption", "footer"})
        self.assertEqual(page.attributes - Tags(plain).attributes, {"src", "alt"})
        self.assertGreaterEqual(page.words.count(evil), 5)

    def test_files(self):
        self.job()
        for ending, begins in (("txt", b"Job sheet 1"), ("html", b"<!DOCTYPE html>"), ("pdf", b"%PDF-")):
            path = self.place.dir / f"sheet.{ending}"
            self.good("sheet", "--to", str(path))
            self.assertTrue(path.read_bytes().startswith(begins))
            path.write_text("mine")
            self.bad("sheet", "--to", str(path), says="there is something of that name already")
            self.assertEqual(path.read_text(), "mine")
            self.good("sheet", "--to", str(path), "--replace")
            self.assertTrue(path.read_bytes().startswith(begins))
        self.assertEqual(self.place.json("sheet", "--to", str(self.place.dir / "x.html"))["job"], 1)
        other = self.place.dir / "no-ending"
        self.good("sheet", "--as", "pdf", "--to", str(other))
        self.assertTrue(other.read_bytes().startswith(b"%PDF-"))
        self.bad("sheet", "--as", "pdf", says="--to FILE")
        self.bad("sheet", "--as", "word", says="text, html or pdf")
        self.bad("sheet", "--to", str(self.place.dir / "no/such/folder/x.html"), says="cannot be written")
        self.bad("sheet", "--to", str(self.place.dir), says="is a folder")
        self.bad("sheet", "--job", "9", says="there is no job 9")
        left = [p.name for p in self.place.dir.iterdir() if ".part" in p.name]
        self.assertEqual(left, [])

    def test_the_job_closed_last_is_meant_when_none_is_open(self):
        self.bad("sheet", says="no job is open")
        self.job()
        self.good("close", "given-up")
        self.assertIn("Job sheet 1", self.good("sheet"))

    def test_photos(self):
        self.job()
        self.good("photo", self.picture(), "--caption", "plug,", "black")
        self.assertIn("photo, 3 x 2 pixels: plug, black", self.good("log"))
        self.assertIn("data:image/png;base64,", self.good("sheet", "--as", "html"))
        self.assertIn("plug, black", self.good("sheet"))
        self.assertIn("taken back on job 1: photo", self.good("undo"))
        self.assertNotIn("plug, black", self.good("sheet"))
        before = self.good("log", "--json")
        for name, data, says in (
                ("a.jpg", b"", "is empty"), ("b.jpg", b"not a picture", "is not a JPEG, PNG or WebP"),
                ("c.svg", b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", "is not a JPEG"),
                ("d.png", png()[:-4], "was cut off"), ("e.png", png()[:20], "damaged"),
                ("f.png", png() + b"x" * 20_000_000, "larger than 20 MB"), ("g.png", png(40000, 1), "40000 x 1 pixels")):
            with self.subTest(says=says):
                self.bad("photo", self.picture(name, data), says=[name, says])
        self.bad("photo", str(self.place.dir / "none.jpg"), says="there is no such file")
        self.bad("photo", str(self.place.dir), says="is a folder")
        self.bad("photo", "/dev/zero", says="larger than 20 MB")
        self.bad("photo", self.picture(), "--caption", b"h\xe4ngt", says="UTF-8")
        self.assertEqual(self.good("log", "--json"), before)
        self.good("close", "given-up")
        self.bad("photo", self.picture(), "--job", "1", says="job 1 is closed")

    def test_a_backup_has_the_photos(self):
        self.job()
        self.good("photo", self.picture(), "--caption", "plug")
        copy = str(self.place.dir / "copy.db")
        self.good("backup", copy)
        self.assertEqual(self.good("sheet", "--as", "html", "--shop", copy), self.good("sheet", "--as", "html"))

    def test_a_shop_of_the_first_format_goes_on(self):
        self.job()
        self.good("answer", "bogs-up-top=yes")
        old = str(self.place.dir / "old.db")
        with sqlite3.connect(self.place.shop) as now, sqlite3.connect(old) as then:
            then.executescript((ROOT / "edge/schema/01-events.sql").read_text())
            then.executemany("INSERT INTO events VALUES (?, ?, ?, ?, ?)", now.execute("SELECT * FROM events ORDER BY seq"))
            then.commit()
            then.executescript(f"PRAGMA application_id = {0x43524b57}; PRAGMA user_version = 1")
        self.assertEqual(self.good("log", "--json", "--shop", old), self.good("log", "--json"))
        self.good("photo", self.picture(), "--shop", old)
        with sqlite3.connect(old) as then:
            self.assertEqual(then.execute("PRAGMA user_version").fetchone(), (3,))
            self.assertEqual(then.execute("SELECT bytes FROM attachments").fetchall(), [(png(),)])
        with sqlite3.connect(old) as then:
            then.execute("PRAGMA user_version = 4")
        self.bad("jobs", "--shop", old, says="written by a newer crankwise")
