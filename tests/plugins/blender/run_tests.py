"""Started inside Blender: blender -b --factory-startup --python run_tests.py -- [names]."""

import sys
import unittest
from pathlib import Path

sys.dont_write_bytecode = True
sys.path.insert(0, str(Path(__file__).resolve().parent))

import support  # noqa: E402

support.install()
names = sys.argv[sys.argv.index("--") + 1 :] if "--" in sys.argv else []
loader = unittest.TestLoader()
if names:
    suite = loader.loadTestsFromNames(names)
else:
    suite = loader.discover(str(Path(__file__).resolve().parent), pattern="test_*.py")
result = unittest.TextTestRunner(verbosity=2).run(suite)
sys.stdout.flush()
sys.stderr.flush()
sys.exit(0 if result.wasSuccessful() and result.testsRun else 1)
