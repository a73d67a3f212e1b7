"""Everything that can be typed wrong."""
from place import CLASS, Case


class BadInput(Case):
    """Every command with every kind of bad input: exit code 2, a message on standard error only, nothing changed."""

    def setUp(self):
        super().setUp()
        self.place.json("take-in", self.bike("Red 125", CLASS, "--hours", "42"), "bogs up top")
        self.good("answer", "bogs-up-top=yes")

    def refused(self, *table):
        before = self.good("jobs", "--json") + self.good("bikes", "--json") + self.good("log", "--json") + self.good("settings", "--json")
        for line in table:
            *args, says = line
            with self.subTest(args=args):
                self.bad(*args, says=says)
        after = self.good("jobs", "--json") + self.good("bikes", "--json") + self.good("log", "--json") + self.good("settings", "--json")
        self.assertEqual(after, before)

    def test_commands_and_arguments(self):
        self.refused(
            ("answr", 'perhaps "answer"'), ("paint", "crankwise --help lists them"), ("", "is not a command"), ("--bogus", "--bogus"),
            ("jobs", "extra", "extra"), ("jobs", "--bogus", "--bogus"), ("--job", "x", "jobs", "--job"), ("--job", "jobs", "--job"),
            ("take-in", "bike is required"), ("take-in", "red-125", "words is required"), ("hear", "words is required"),
            ("answer", "answers is required"), ("before", "contexts is required"), ("measured", "reading is required"),
            ("measured", "compression", "value is required"), ("did", "step is required"), ("put-back", "step is required"),
            ("ran", "result is required"), ("cannot", "step is required"), ("note", "words is required"), ("close", "how is required"),
            ("add-bike", "--class", CLASS, "name is required"), ("add-bike", "X", "--class is required"), ("bike", "bike is required"),
            ("hours", "red-125", "hours is required"), ("ridden", "red-125", "time is required"), ("interval", "red-125", "plug", "every is required"),
            ("use", "red-125", "how is required"), ("renewed", "red-125", "part is required"), ("figure", "red-125", "compression", "value"),
            ("access", "red-125", "tank", "5", "on is required"), ("backup", "file is required"), ("judge", "file is required"),
            ("list", "kind is required"), ("show", "id is required"), ("next", "--others", "99", "--others"),
            ("next", "--others", "-1", "--others"), ("suspects", "--count", "0", "--count"), ("suspects", "--count", "x", "--count"))

    def test_names(self):
        self.refused(
            ("take-in", "red-126", "bogs", 'perhaps "red-125"'), ("answer", "bogs-up-tpo=yes", 'perhaps "bogs-up-top"'),
            ("answer", "bogs-up-top=maybe", "yes"), ("answer", "bogs-up-top", "finding=yes"), ("answer", "=yes", "finding"),
            ("answer", "blubbers=yes", "bogs-up-tpo=yes", 'perhaps "bogs-up-top"'), ("answer", "pump-filter-dirty-seen=yes", "does not apply to this bike"),
            ("before", "new-ownr=yes", 'perhaps "new-owner"'), ("before", "new-owner=unsure", "only be yes or no"),
            ("measured", "compresion", "3 psi", 'perhaps "compression"'), ("measured", "fuel-pressure", "300 kPa", "does not apply"),
            ("did", "fit-new-plg", 'perhaps "fit-new-plug"'), ("did", "fit-new-pump-filter", "does not apply to this bike"),
            ("did", "look-at-plug", "plug-wet-feul=yes", 'perhaps "plug-wet-fuel"'), ("put-back", "look-at-plug", "swap or replace"),
            ("put-back", "swap-coyl", 'perhaps "swap-coil"'), ("put-back", "clean-plug", "swap or replace"),
            ("ran", "fine", "gone, better or same"), ("ran", "same", "--step", "run-rid", 'perhaps "run-ride"'),
            ("ran", "same", "--step", "look-at-plug", "is not a run"), ("cannot", "fit-new-plg", 'perhaps "fit-new-plug"'),
            ("cannot", "fit-new-pump-filter", "does not apply to this bike"), ("stripped", "tnak", 'perhaps "tank"'),
            ("stripped", "fuel-pump", "does not apply"), ("why", "reed-chiped", 'perhaps "reed-chipped"'), ("why", "pump-weak", "does not apply"),
            ("close", "maybe", "proven, not-proven or given-up"), ("close", "proven", "not proven yet"),
            ("close", "not-proven", "--cause", "reed-chiped", 'perhaps "reed-chipped"'), ("log", "--job", "9", "there is no job 9"),
            ("log", "--job", "0", "there is no job 0"), ("log", "--job", "-1", "-1"), ("bike", "red", "no bike is called"),
            ("add-bike", "X", "--class", "motocross-125", "no class is called"),
            ("add-bike", "X", "--class", CLASS, "--with", "kick-strat", 'perhaps "kick-start"'),
            ("add-bike", "X", "--class", CLASS, "--without", "reed-vlave", 'perhaps "reed-valve"'),
            ("add-bike", "X", "--class", CLASS, "--with", "four-stroke", "more than one of cycle"),
            ("add-bike", "X", "--class", CLASS, "--without", "carburettor", "nothing of fuelling"), ("add-bike", "", "--class", CLASS, "name"),
            ("renewed", "red-125", "plgu", 'perhaps "plug"'), ("figure", "red-125", "compresion", "170 psi", 'perhaps "compression"'),
            ("access", "red-125", "tnak", "1", "1", 'perhaps "tank"'), ("settings", "--lacks", "multimetre", 'perhaps "multimeter"'),
            ("settings", "--has", "multimetre", 'perhaps "multimeter"'), ("list", "fault", 'perhaps "faults"'), ("show", "reed-chiped", 'perhaps "reed-chipped"'),
            ("hear", "bogs", "--bike", "red-126", 'perhaps "red-125"'))

    def test_values(self):
        self.refused(
            ("measured", "compression", "138", "with its unit"), ("measured", "compression", "138 kohm", "does not measure it"),
            ("measured", "compression", "-5 psi", "cannot be"), ("measured", "compression", "a lot", "with its unit"),
            ("measured", "compression", "inf psi", "with its unit"), ("measured", "compression", "1e999 psi", "with its unit"),
            ("hours", "red-125", "41", "run backwards"), ("hours", "red-125", "-5", "0 or more"), ("hours", "red-125", "x", "hours"),
            ("hours", "red-125", "nan", "0 or more"), ("hours", "red-125", "1e9", "hours"), ("renewed", "red-125", "plug", "--at", "99", "has 42 h"),
            ("renewed", "red-125", "plug", "--at", "-5", "42"), ("renewed", "red-125", "plug", "--at", "nan", ""),
            ("figure", "red-125", "compression", "170", "with its unit"), ("figure", "red-125", "compression", "170 mm", "not a unit for it"),
            ("figure", "red-125", "compression", "170 psi", "--to", "160 psi", "not a range"),
            ("figure", "red-125", "compression", "170 psi", "--to", "3 mm", "do not fit"), ("figure", "red-125", "compression", "0 psi", "above 0"),
            ("access", "red-125", "tank", "-1", "5", "below 0"), ("access", "red-125", "tank", "x", "5", "off"), ("access", "red-125", "tank", "nan", "5", ""),
            ("settings", "--simulated", "-1", "0 to 1000"), ("settings", "--simulated", "x", "--simulated"), ("settings", "--hour", "-5", "above 0"), ("settings", "--hour", "0", "above 0"), ("settings", "--hour", "nan", "above 0"),
            ("add-bike", "X", "--class", CLASS, "--hours", "-1", "--hours"), ("add-bike", "X", "--class", CLASS, "--hours", "nan", "hours"),
            ("add-bike", "X", "--class", CLASS, "--cc", "5", "--cc"), ("take-in", "red-125", "  ", "complaint is empty"))

    def test_text_that_is_not_utf8(self):
        latin = b"h\xe4ngt"
        self.refused(("note", latin, ""), ("take-in", "red-125", latin, ""), ("add-bike", latin, "--class", CLASS, ""),
                     ("cannot", "fit-new-plug", "--because", latin, ""), ("close", "given-up", "--words", latin, ""),
                     ("settings", "--currency", latin, ""), ("answer", latin + b"=yes", ""), ("bike", latin, ""))

    def test_not_utf8_for_programs(self):
        for args in ((b"bike", b"h\xe4ngt"), (b"judge", b"h\xe4ngt"), (b"note", b"h\xe4ngt")):
            result = self.place.run(*args, "--json")
            self.assertEqual(result.code, 2, result.err)
            self.assertNotIn("exception", result.err)

    def test_many_problems_are_all_said(self):
        err = self.bad("answer", "a-a=yes", "bogs-up-tpo=no", "q=no")
        self.assertEqual(len(err.strip().split("\n")), 3, err)
