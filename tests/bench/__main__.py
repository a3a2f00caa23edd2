"""`python -m tests.bench`: the table of ratios; see run.py."""

from tests.bench.run import main

raise SystemExit(main())
