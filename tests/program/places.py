"""Shop files, folders, disks and knowledge that are not what they should be."""
import contextlib
import os
import pathlib
import random
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time

from place import BINARY, CLASS, NOBODY, ROOT, Case, Place


class Places(Case):
    """Shop files and knowledge that are not what they should be."""

    def setUp(self):
        super().setUp()
        self.place.json("take-in", self.bike(), "bogs up top")
        self.good("answer", "bogs-up-top=yes")
        self.good("note", "kept")
        self.kept = self.good("log", "--json")

    def untouched(self, path, *commands, says):
        bytes_before = path.read_bytes()
        for command in commands:
            with self.subTest(command=command):
                err = self.bad(*command, "--shop", str(path), says=[str(path), *([says] if isinstance(says, str) else says)])
                self.assertIn("right would be: ", err)
                self.assertEqual(path.read_bytes(), bytes_before, "the file was changed")

    COMMANDS = (("jobs",), ("log",), ("note", "x"), ("work",), ("add-bike", "X", "--class", CLASS))

    def test_a_shop_that_is_no_shop(self):
        text = self.place.dir / "letter.txt"
        text.write_text("Dear mechanic,\n" * 500)
        self.untouched(text, *self.COMMANDS, says="not a crankwise file")
        one = self.place.dir / "one"
        one.write_bytes(b"x")
        self.untouched(one, *self.COMMANDS, says="not a crankwise file")
        foreign = self.place.dir / "foreign.db"
        with contextlib.closing(sqlite3.connect(foreign)) as db:
            db.execute("CREATE TABLE recipes (name TEXT)")
            db.commit()
        self.untouched(foreign, *self.COMMANDS, says="belongs to another program")
        self.bad("jobs", "--shop", str(self.place.dir), says="this is a folder")
        self.bad("jobs", "--shop", "/dev/null", says="not a plain file")
        self.bad("jobs", "--shop", str(text / "shop.db"), says="")

    def test_a_newer_shop(self):
        with contextlib.closing(sqlite3.connect(self.place.shop)) as db:
            db.execute("PRAGMA user_version = 99")
            db.commit()
        self.untouched(self.place.shop, *self.COMMANDS, says="newer crankwise")

    def test_a_corrupt_shop(self):
        whole = self.place.shop.read_bytes()
        rng = random.Random(3)
        refused = 0
        for round_ in range(48):
            data = bytearray(whole)
            if round_ % 3 == 0:
                del data[rng.randrange(100, len(data)):]
            else:
                start = rng.randrange(100 if round_ % 3 == 1 else 0, len(data) - 64)
                data[start:start + 64] = rng.randbytes(64)
            broken = self.place.dir / f"broken-{round_}.db"
            broken.write_bytes(data)
            result = self.place.run("log", "--json", "--shop", str(broken))
            self.assertIn(result.code, (0, 2), f"round {round_}: {result.err}")
            if result.code == 2:
                refused += 1
                self.assertNotIn("exception", result.err, f"round {round_}")
                self.assertIn("right would be: ", result.err)
            elif len(data) == len(whole):  # what is read nevertheless must be all of it
                self.assertEqual(result.out, self.kept, f"round {round_}")
        self.assertGreater(refused, 16)  # every cut one, and some spoilt ones

    def test_an_empty_file_is_a_new_shop(self):
        empty = self.place.dir / "empty.db"
        empty.touch()
        self.assertEqual(self.place.json("jobs", "--shop", str(empty)), [])

    def test_a_locked_shop(self):
        with contextlib.closing(sqlite3.connect(self.place.shop, isolation_level=None)) as db:
            db.execute("BEGIN IMMEDIATE")
            started = time.time()
            self.bad("note", "x", says=["another program is writing", "nothing of this entry was kept"])
            self.assertLess(time.time() - started, 30)
            self.assertEqual(self.good("log", "--json"), self.kept, "reading goes on meanwhile")
            db.execute("ROLLBACK")
        self.good("note", "x")
        with contextlib.closing(sqlite3.connect(self.place.shop, isolation_level=None)) as db:
            db.execute("PRAGMA locking_mode = EXCLUSIVE")
            db.execute("BEGIN EXCLUSIVE")
            self.bad("log", says=[str(self.place.shop)])

    @contextlib.contextmanager
    def without_rights(self):
        """For root a user without rights runs the program, since nothing is forbidden to root."""
        if os.geteuid() != 0:
            yield {}
            return
        path = pathlib.Path(BINARY)
        if not all(os.stat(p).st_mode & 1 for p in [path, *path.parents]):
            self.skipTest("another user cannot reach the program")
        for p in [self.place.dir, *self.place.dir.rglob("*")]:
            os.chmod(p, 0o755 if p.is_dir() else 0o644)
        yield {"user": NOBODY, "group": NOBODY, "extra_groups": []}

    def test_a_read_only_folder(self):
        with self.without_rights() as more:
            folder = self.place.shop.parent
            os.chmod(folder, 0o555)
            try:
                self.bad("note", "x", says=[str(self.place.shop), "right would be: "], **more)
                self.bad("add-bike", "X", "--class", CLASS, "--shop", str(folder / "new.db"), says="new.db", **more)
                self.bad("add-bike", "X", "--class", CLASS, "--shop", str(folder / "deeper/new.db"), says="deeper", **more)
                self.bad("backup", str(folder / "copy.db"), says="right would be: ", **more)
            finally:
                os.chmod(folder, 0o755)
        self.assertEqual(self.good("log", "--json"), self.kept)

    def test_a_read_only_file(self):
        with self.without_rights() as more:
            os.chmod(self.place.shop, 0o444)
            os.chmod(self.place.shop.parent, 0o777)
            self.bad("note", "x", says=[str(self.place.shop), "cannot be written"], **more)
            os.chmod(self.place.shop, 0o000)
            self.bad("log", says=str(self.place.shop), **more)
            os.chmod(self.place.shop, 0o644)
            os.chmod(self.place.shop.parent, 0o755)
        self.assertEqual(self.good("log", "--json"), self.kept)

    def test_no_home(self):
        env = {k: v for k, v in self.place.env.items() if k not in ("HOME", "XDG_DATA_HOME")}
        done = subprocess.run([BINARY, "jobs"], env=env, capture_output=True, text=True)
        self.assertEqual(done.returncode, 2)
        self.assertIn("HOME: is not set", done.stderr)

    def test_a_relative_xdg_place_is_ignored(self):
        self.good("settings", "--hour", "60", env={"XDG_DATA_HOME": "relative"}, cwd=self.place.dir)
        self.assertFalse((self.place.dir / "relative").exists())
        self.assertTrue((self.place.home / ".local/share/crankwise/shop.db").exists())

    def test_knowledge_that_cannot_be_read(self):
        self.bad("next", "--knowledge", str(self.place.dir / "none"), says="none: cannot be read")
        self.bad("next", "--knowledge", str(self.place.home), says="holds no .toml file")
        folder = self.place.dir / "knowledge"
        shutil.copytree(ROOT / "knowledge", folder)
        self.good("check-knowledge", "--knowledge", str(folder))
        (folder / "odd.toml").write_text('source = "from memory"\n[fault.odd]\nname = "odd"\npart = "odd"\nshare = -3\n'
                                         'cuases = { bogs-up-top = "often" }\n[finding.odd-too]\nshort = "x"\nask = 7\n')
        err = self.bad("check-knowledge", "--knowledge", str(folder), says=["odd.toml:5: fault.odd.share", "odd.toml:6: fault.odd.cuases",
                                                                            'perhaps "causes"', "odd.toml:9: finding.odd-too.ask"])
        self.assertGreaterEqual(len(err.strip().split("\n")), 3)
        (folder / "odd.toml").write_text('source = "from memory"\n' + "".join(
            f'[part.extra-{i}]\nname = "extra {i}"\noff_min = 1\non_min = 1\n' for i in range(70)))
        self.bad("check-knowledge", "--knowledge", str(folder), says="64")
        (folder / "odd.toml").write_text("[fault.odd\n")
        self.bad("jobs", "--knowledge", str(folder), says="odd.toml:1: ")
        self.assertEqual(self.good("log", "--json"), self.kept)

    def test_a_full_disk(self):
        user = [] if os.geteuid() == 0 else ["--map-root-user"]
        script = f"mount -t tmpfs -o size=300k none {self.place.home} && exec {sys.executable} -B {__file__} {ROOT} {self.place.home}"
        if not shutil.which("unshare") or subprocess.run(["unshare", "--mount", *user, "mount", "-t", "tmpfs", "none", str(self.place.home)],
                                                         capture_output=True).returncode != 0:
            self.skipTest("this system does not allow mounting")
        done = subprocess.run(["unshare", "--mount", *user, "sh", "-c", script], env=dict(os.environ, CRANKWISE_BINARY=BINARY),
                              capture_output=True, text=True, timeout=300)
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)


def on_a_small_disk(home):
    """Within a mount of its own: fills the disk by notes; what was acknowledged stays, the rest is refused."""
    place = Place()
    place.close()
    place.env.update(HOME=home, XDG_DATA_HOME=home + "/data")
    place.good("add-bike", "Red", "--class", CLASS)
    place.good("take-in", "red", "bogs up top")
    noted, refused = [], 0
    for i in range(200):
        words = f"note {i} " + "x" * (9000 if refused == 0 else 3000)
        result = place.run("note", words)
        if result.code == 0:
            noted.append(words)
            continue
        assert result.code == 2 and "disk full" in result.err and "right would be: " in result.err, result.err
        assert "nothing of this entry was kept" in result.err or "was not opened" in result.err, result.err
        refused += 1
        if refused == 5:
            break
    assert refused == 5 and len(noted) > 3, (refused, len(noted))
    data = pathlib.Path(home) / "data/crankwise"
    copy = pathlib.Path(tempfile.mkdtemp())  # beside the small disk
    for path in data.iterdir():
        shutil.copy(path, copy)
    kept = [e["data"]["text"] for e in place.json("log", "--shop", str(copy / "shop.db"))["entries"]]
    shutil.rmtree(copy)
    assert kept == noted, (len(kept), len(noted))


if __name__ == "__main__":
    on_a_small_disk(sys.argv[2])
