"""The program from outside, as a mechanic and a script meet it: run.py ROOT [CASE...]

CRANKWISE_BINARY names the program. Everything happens in temporary folders; cases are the classes of the files here, or
single tests as Class.test_name. Where the system does not allow a test (mounting, other users) it is skipped and says so.
"""
import importlib
import pathlib
import sys
import unittest

from place import Case

for path in sorted(pathlib.Path(__file__).parent.glob("*.py")):
    if path.stem != "run":
        found = vars(importlib.import_module(path.stem))
        globals().update({name: thing for name, thing in found.items()
                          if isinstance(thing, type) and issubclass(thing, Case) and thing is not Case})

if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0], *sys.argv[2:]])
