"""Holds the tree to its layers: layers.py [ROOT], or layers.py --selftest [ROOT], which shows that each rule can fail.

The crankwise_library lines of CMakeLists.txt say who may use whom; includes must keep to them, and they to
core <- edge <- app <- http <- everything else. core/ is pure besides: no files, clock, threads, printing, chance or globals. No two types of one name.
"""
import pathlib
import re
import sys
import tempfile

# Lower layers know nothing of higher ones; a folder that is not here is on top, and knows no other one there.
LAYERS = ("core", "edge", "app", "http")
# Whose headers are whose: outside libraries may be included only where CMakeLists.txt links them.
OUTSIDE = {
    "fmt": ("fmt/",),
    "nlohmann_json": ("nlohmann/",),
    "tomlplusplus": ("toml++/",),
    "SQLite": ("sqlite3.h", "sqlite3ext.h"),
    "CLI11": ("CLI/",),
    "nettle": ("nettle/",),
    "HPDF": ("hpdf",),
    "exif": ("libexif/",),
    "PNG": ("png.h",),
    "microhttpd": ("microhttpd.h",),
    "gnutls": ("gnutls/",),
    "ZLIB": ("zlib.h",),
    "qrencode": ("qrencode.h",),
    "kissfft": ("kissfft/",),
    "FFmpeg": ("libav", "libsw"),
    "seccomp": ("seccomp.h",),
}
# Pure arithmetic from outside, which a core may use.
PURE = {"kissfft"}
IMPURE_HEADERS = set(
    "fstream iostream istream ostream cstdio print syncstream filesystem chrono ctime thread mutex shared_mutex "
    "condition_variable future semaphore barrier latch stop_token csignal clocale locale".split())
IMPURE_WORDS = re.compile(
    r"\bstd::(?:thread|jthread|async|mutex|chrono|filesystem|random_device|cout|cerr|clog|cin|print|println)\b"
    r"|\b(?:random_device|thread_local|fmt::\w+)\b"
    r"|(?<![\w.>:])(?:std::|::)?(?:f|v|vf|s|sn|vsn)?printf\s*\("
    r"|(?<![\w.>:])(?:std::|::)?(?:getenv|setenv|puts|fputs|putchar|fopen|system|rand|srand|time|clock|clock_gettime|"
    r"gettimeofday|localtime|gmtime|signal|exit|_exit|quick_exit)\s*\(")
INCLUDE = re.compile(r'^\s*#\s*include\s*(?:"([^"]+)"|<([^>]+)>)')


def libraries(root):
    """folder -> link names, from the crankwise_library lines."""
    text = re.sub(r"#.*", "", (root / "CMakeLists.txt").read_text())
    found = {}
    for call in re.findall(r"crankwise_library\(([^)]*)\)", text):
        folder, *rest = call.split()
        found[folder] = [word.split("::")[0] for word in rest if word != "LINKS"]
    return found


def layer(folder):
    top = folder.split("/")[0]
    return LAYERS.index(top) if top in LAYERS else len(LAYERS)


def reach(folder, links, seen=None):
    """The folder and all that it may use, ours and outside."""
    seen = set() if seen is None else seen
    ours = {name.replace("/", "_"): name for name in links}
    for name in [folder] + links[folder]:
        name = ours.get(name, name)
        if name not in seen:
            seen.add(name)
            if name in links:
                reach(name, links, seen)
    return seen


def code_only(text):
    """The text with comments, strings and preprocessor lines blanked, line breaks kept."""
    def blank(match):
        return re.sub(r"[^\n]", " ", match.group())

    text = re.sub(r'//[^\n]*|/\*.*?\*/|\bR"([^(\s"]*)\(.*?\)\1"|"(?:\\.|[^"\\\n])*"|(?<!\w)\'(?:\\.|[^\'\\\n])+\'',
                  blank, text, flags=re.S)
    return re.sub(r"^[ \t]*#(?:[^\n]*\\\n)*[^\n]*", blank, text, flags=re.M)


NOT_A_VARIABLE = re.compile(
    r"^(?:using|typedef|class|struct|union|enum|template|friend|static_assert|namespace|concept|extern|public|private|"
    r"protected|return|explicit|virtual|operator|asm|goto|case|default)\b|\boperator\b")


def is_changing_variable(statement):
    """Does this declaration (initialiser braces already emptied) make something that can change?"""
    statement = re.sub(r"\[\[.*?\]\]|\balignas\s*\([^)]*\)", " ", statement).strip()
    if not statement or NOT_A_VARIABLE.search(statement):
        return False
    head = re.split(r"=|\{|\[", statement, maxsplit=1)[0].strip()
    while True:  # template arguments say nothing about the variable
        shorter = re.sub(r"<[^<>]*>", "", head)
        if shorter == head:
            break
        head = shorter
    if "(" in head:  # a function, or an object made with (): told apart by what is within
        inside = re.search(r"\(([^)]*)", head).group(1).strip()
        if not re.fullmatch(r"-?[\d.]+\w*", inside):
            return False
        head = head.split("(")[0].strip()
    if re.search(r"\bconstexpr\b", head):
        return False
    words = re.findall(r"[\w:]+|\*|&", head)
    if len([w for w in words if w not in ("static", "inline", "constinit", "mutable", "*", "&")]) < 2:
        return False
    if "*" in words:  # the pointer itself must be const, not only what it points to
        last = len(words) - 1 - words[::-1].index("*")
        return "const" not in words[last:]
    return "const" not in words


def block_kind(head, outer):
    """What the brace after `head` opens, within `outer`: namespace, class, value (an initialiser) or body (of code)."""
    if outer == "value":
        return "value"
    bare = head
    while bare != (bare := re.sub(r"<[^<>]*>", "", bare)):
        pass
    if re.search(r"\bnamespace\b|\bextern\s*$", bare):
        return "namespace"
    if re.search(r"\b(?:class|struct|union|enum)\b", bare) and not re.search(r"[(=]", bare):
        return "class"
    if re.search(r"=[^()]*$", bare) or ("(" not in bare and (outer != "body" or re.match(r"\s*static\b", bare))):
        return "value"
    return "body"


def changing_variables(text):
    """(line, text) of variables that outlive a call and can change: at namespace scope, static in a class or function."""
    found, stack, start = [], ["namespace"], 0
    code = code_only(text)
    for position, sign in enumerate(code):
        scope = stack[-1]
        if sign == "{":
            stack.append(block_kind(code[start:position], scope))
            if stack[-1] != "value":
                start = position + 1
        elif sign == "}" and len(stack) > 1:
            stack.pop()
            if scope != "value":
                start = position + 1
        elif sign == ":" and scope == "class" and re.search(r"\b(?:public|private|protected)\s*$", code[start:position]):
            start = position + 1
        elif sign == ";" and scope != "value":
            statement = code[start:position]
            lasting = scope == "namespace" or re.match(r"\s*(?:inline\s+)?static\b", statement)
            if lasting and is_changing_variable(statement):
                line = code.count("\n", 0, start + len(statement) - len(statement.lstrip())) + 1
                found.append((line, " ".join(statement.split())))
            start = position + 1
    return found


def types_of(text):
    """Names of the types that a file defines in named namespaces, with these."""
    found, inside, depth = set(), [], 0
    for line in re.sub(r"/\*.*?\*/", "", text, flags=re.S).split("\n"):
        line = re.sub(r'"(?:[^"\\]|\\.)*"', '""', line.split("//")[0])
        opened = re.match(r"namespace\s*([\w:]*)\s*\{", line)
        if opened:
            inside.append((depth, opened.group(1)))
        defined = re.match(r"(?:struct|class|enum class|union)\s+(\w+)\b(?!\s*::)[^;]*$", line) or re.match(
            r"(?:struct|class|enum class|union)\s+(\w+)\b(?!\s*::)[^;]*\{", line)
        if defined and depth == len(inside) and all(name for _, name in inside):
            found.add("::".join([name for _, name in inside] + [defined.group(1)]))
        depth += line.count("{") - line.count("}")
        while inside and depth <= inside[-1][0]:
            inside.pop()
    return found


def types_named_twice(texts):
    """Two types of one name make one program that is neither: the linker takes either's functions for both."""
    where = {}
    for name, text in texts.items():
        for each in types_of(text):
            where.setdefault(each, []).append(name)
    return [f"{each} is defined in {' and '.join(sorted(files))}" for each, files in sorted(where.items()) if len(files) > 1]


def check(root):
    """All that is wrong with the tree at root, as text."""
    links = libraries(root)
    ours = {name.replace("/", "_"): name for name in links}
    problems = []
    for folder, names in links.items():
        for name in names:
            if name not in ours:
                if layer(folder) == 0 and name not in PURE:
                    problems.append(f"CMakeLists.txt: {folder} links {name}: core links only core and pure arithmetic")
                continue
            other = ours[name]
            if layer(other) > layer(folder) or (layer(other) == len(LAYERS) == layer(folder) and other != folder):
                problems.append(f"CMakeLists.txt: {folder} links {other}: the wrong way")

    tops = {folder.split("/")[0] for folder in links}
    for top in sorted(tops | set(LAYERS)):
        for path in sorted((root / top).rglob("*")):
            if path.suffix not in (".cc", ".h", ".cpp", ".hpp", ".inl"):
                continue
            name = str(path.relative_to(root))
            folder = str(path.parent.relative_to(root))
            text = path.read_text()
            if folder not in links:
                problems.append(f"{name}: {folder} is no crankwise_library in CMakeLists.txt")
                continue
            test = path.stem.endswith("_test")
            allowed = reach(folder, links)
            for number, line in enumerate(text.split("\n"), 1):
                match = INCLUDE.match(line)
                if not match:
                    continue
                where = f"{name}:{number}"
                quoted, angled = match.groups()
                header = quoted or angled
                owner = next((lib for lib, starts in OUTSIDE.items() if header.startswith(starts)), None)
                if owner:
                    if owner not in allowed:
                        problems.append(f"{where}: includes {header}, but {folder} does not link {owner}")
                elif quoted or (root / header).is_file():
                    target = str(pathlib.PurePosixPath(header).parent)
                    if test and target == "tests":
                        continue
                    if not (root / header).is_file():
                        problems.append(f"{where}: includes {header}: write the path from the root of the tree")
                    elif target not in allowed:
                        problems.append(f"{where}: {folder} includes {header}: not below it")
                elif layer(folder) == 0 and not test and (header in IMPURE_HEADERS or "." in header or "/" in header):
                    problems.append(f"{where}: core includes <{header}>: core is pure")
            if layer(folder) != 0 or test:
                continue
            for number, line in enumerate(code_only(text).split("\n"), 1):
                match = IMPURE_WORDS.search(line)
                if match:
                    problems.append(f"{name}:{number}: core uses {match.group().rstrip('( ')}: core is pure")
            for number, statement in changing_variables(text):
                problems.append(f"{name}:{number}: \"{statement}\" outlives a call and can change: core has no globals")
    texts = {str(p.relative_to(root)): p.read_text()
             for top in sorted(tops | set(LAYERS) | {"tests", "bench"}) for p in sorted((root / top).rglob("*"))
             if p.suffix in (".cc", ".h")}
    return problems + types_named_twice(texts)


# File, its text, and what must be said about it ("" for nothing at all).
TRIALS = [
    ("core/belief/x.h", '#include "core/plan/y.h"', "core/belief includes core/plan/y.h"),
    ("core/belief/x.h", '#include <core/plan/y.h>', "core/belief includes core/plan/y.h"),
    ("core/belief/x.h", '#include "edge/y.h"', "core/belief includes edge/y.h"),
    ("core/words/x.h", '#include "core/belief/y.h"', "core/words includes core/belief/y.h"),
    ("core/words/x.h", '#include "y.h"', "write the path from the root"),
    ("core/words/x.h", '#include "../belief/y.h"', "write the path from the root"),
    ("core/plan/x.h", '#include "core/belief/y.h"', ""),
    ("core/plan/x.h", '#include "core/words/y.h"', "core/plan includes core/words/y.h"),
    ("core/plan/x.h", '#include "app/y.h"', "core/plan includes app/y.h"),
    ("edge/x.h", '#include "core/words/y.h"', ""),
    ("edge/x.h", '#include "app/y.h"', "edge includes app/y.h"),
    ("edge/x.cc", "#include <CLI/CLI.hpp>", "edge does not link CLI11"),
    ("edge/x.cc", "#include <sqlite3.h>\n#include <fstream>\n#include <unistd.h>", ""),
    ("app/x.cc", '#include "cli/y.h"', "app includes cli/y.h"),
    ("app/x.cc", '#include "edge/y.h"\n#include "core/belief/y.h"', ""),
    ("cli/x.cc", '#include "app/y.h"\n#include <CLI/CLI.hpp>\n#include <iostream>', ""),
    ("core/stray/x.h", "", "core/stray is no crankwise_library"),
    ("core/belief/x_test.cc", '#include <gtest/gtest.h>\n#include "tests/z.h"\n#include <fstream>\nint counter;', ""),
    ("core/belief/x.cc", "#include <fstream>", "core includes <fstream>"),
    ("core/belief/x.cc", "#include <iostream>", "core includes <iostream>"),
    ("core/belief/x.cc", "#include <cstdio>", "core includes <cstdio>"),
    ("core/belief/x.cc", "#include <filesystem>", "core includes <filesystem>"),
    ("core/belief/x.cc", "#include <chrono>", "core includes <chrono>"),
    ("core/belief/x.cc", "#include <thread>", "core includes <thread>"),
    ("core/belief/x.cc", "#include <mutex>", "core includes <mutex>"),
    ("core/belief/x.cc", "#include <ctime>", "core includes <ctime>"),
    ("core/belief/x.cc", "#include <unistd.h>", "core includes <unistd.h>"),
    ("core/belief/x.cc", "#include <fmt/format.h>", "core/belief does not link fmt"),
    ("core/belief/x.cc", "#include <nlohmann/json.hpp>", "core/belief does not link nlohmann_json"),
    ("core/belief/x.cc", "#include <cmath>\n#include <random>\n#include <vector>", ""),
    ("core/belief/x.cc", "#include <random>\nint f() { return std::random_device{}(); }", "random_device"),
    ("core/belief/x.cc", 'void f() { printf("x"); }', "core uses printf"),
    ("core/belief/x.cc", 'void f() { std::fprintf(out, "x"); }', "core uses std::fprintf"),
    ("core/belief/x.cc", 'auto f() { return std::getenv("HOME"); }', "core uses std::getenv"),
    ("core/belief/x.cc", "auto f() { return time(nullptr); }", "core uses time"),
    ("core/belief/x.cc", "int f() { return rand(); }", "core uses rand"),
    ("core/belief/x.cc", "void f() { exit(2); }", "core uses exit"),
    ("core/belief/x.cc", '// printf("x") at any time (see edge)\nauto f(R r) { return r.time(3) + "rand()"; }', ""),
    ("core/belief/x.cc", "int counter = 0;", "int counter = 0"),
    ("core/belief/x.cc", "namespace a {\nnamespace {\nstd::vector<int> cache;\n}\n}", "x.cc:3: \"std::vector<int> cache"),
    ("core/belief/x.cc", "namespace a { static std::map<int, const char*> names{{1, \"a\"}}; }", "names{{1, }}"),
    ("core/belief/x.cc", 'const char* name = "a";', "const char* name"),
    ("core/belief/x.cc", "thread_local int depth;", "thread_local"),
    ("core/belief/x.cc", "int f() { static int calls = 0; return ++calls; }", "static int calls = 0"),
    ("core/belief/x.cc", "int f() { static std::map<int, int> seen{}; return seen.size(); }", "static std::map<int, int> seen"),
    ("core/belief/x.cc", "int f() { static std::map<int, int> seen; return seen.size(); }", "static std::map<int, int> seen"),
    ("core/belief/x.h", "struct S { static int count; };", "static int count"),
    ("core/belief/x.h", "struct S {\n public:\n  inline static double rate = 2;\n};", "inline static double rate"),
    ("core/belief/x.h", "class S {\n public:\n  static S make(int a = 3);\n  static constexpr int k = 3;\n"
                        "  int member = 0;\n  std::vector<int> list_;\n  bool operator==(const S&) const = default;\n};", ""),
    ("core/belief/x.cc",
     "namespace a {\nconstexpr double kRate = 0.5;\nconst std::vector<int> list{1, 2, {3}};\n"
     "constexpr std::array names{Row{\"a\", [](int x) { return x; }}};\nconst char* const name = \"a\";\n"
     "using T = std::vector<int>;\nenum class E { a, b };\nstruct S { int a; };\nclass F;\nint f(int a = 3, const T& = {});\n"
     "template <class U> U g(U u) { return u; }\nextern const char* const other;\nstatic_assert(sizeof(int) == 4);\n"
     "int f(int a, const T& t) {\n  int sum = 0;\n  for (int i : t) { sum += i; }\n"
     "  static const std::set<int> fixed = {1, 2};\n  auto h = [&](int x) { return x + a; };\n  S s{.a = 3};\n"
     "  return sum + h(2) + s.a;\n}\nS::S(int b) : a{b}, c{0} { f(1); }\n}  // namespace a", ""),
]
CMAKE_TRIALS = [
    ("crankwise_library(core/belief LINKS edge)\ncrankwise_library(edge)", "core/belief links edge: the wrong way"),
    ("crankwise_library(core/belief LINKS fmt::fmt)", "core/belief links fmt: core links only core and pure arithmetic"),
    ("crankwise_library(core/belief LINKS kissfft::kissfft)", ""),
    ("crankwise_library(http LINKS cli)\ncrankwise_library(cli)", "http links cli: the wrong way"),
    ("crankwise_library(edge LINKS app)\ncrankwise_library(app LINKS edge)", "edge links app: the wrong way"),
]


def selftest(root):
    real = (root / "CMakeLists.txt").read_text()
    wrong = 0

    def tried(files, expected):
        nonlocal wrong
        with tempfile.TemporaryDirectory() as folder:
            tree = pathlib.Path(folder)
            for name, text in files.items():
                (tree / name).parent.mkdir(parents=True, exist_ok=True)
                (tree / name).write_text(text)
            said = check(tree)
        right = any(expected in line for line in said) if expected else not said
        if not right:
            wrong += 1
            print(f"tried: {files}\n  expected: {expected or 'nothing'}\n  said: {said}")

    there = {name: "" for name in ("core/belief/y.h", "core/plan/y.h", "core/words/y.h", "edge/y.h", "app/y.h", "cli/y.h")}
    one = "namespace a {\nstruct S {\n  int x;\n};\n}  // namespace a\n"
    tried({"CMakeLists.txt": real, **there, "core/belief/x.h": one, "core/plan/y.h": one}, "a::S is defined in core/belief/x.h and")
    for other in ("namespace b {\nstruct S {};\n}\n", "namespace a {\nnamespace {\nstruct S {};\n}\n}\n",
                  "namespace a {\nstruct S;\nstruct S::T {};\n}\n", "namespace a {\nstruct T {\n  struct S {};\n};\n}\n"):
        tried({"CMakeLists.txt": real, **there, "core/belief/x.h": one, "core/plan/y.h": other}, "")
    for name, text, expected in TRIALS:
        tried({"CMakeLists.txt": real, **there, name: text}, expected)
    for text, expected in CMAKE_TRIALS:
        tried({"CMakeLists.txt": text}, expected)
    print(f"layers selftest: {5 + len(TRIALS) + len(CMAKE_TRIALS)} trees tried, {wrong} judged wrongly")
    return 1 if wrong else 0


def main():
    arguments = [a for a in sys.argv[1:] if a != "--selftest"]
    root = pathlib.Path(arguments[0] if arguments else pathlib.Path(__file__).parent.parent).resolve()
    if "--selftest" in sys.argv:
        return selftest(root)
    problems = check(root)
    print("\n".join(problems) or "layers: every include points the right way, core is pure")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main())
