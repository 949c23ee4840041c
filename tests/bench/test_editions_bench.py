"""Fourteen languages of the demo in one run against fourteen single runs: `make bench`."""

import os
import subprocess
import time

from tests.bench.test_bench import BOOKLET, DEMO, ENVIRONMENT, ROOT, tell

AIM = 0.35  # on two cores


def test_fourteen_languages_in_one_run_against_fourteen_runs(tmp_path):
    from booklet.tables.language import printable

    def took(*tags):
        wanted = [word for tag in tags for word in ("--language", tag)]
        start = time.perf_counter()
        command = [*BOOKLET, "build", str(DEMO), *wanted, "-o", str(tmp_path)]
        done = subprocess.run(command, capture_output=True, check=False, cwd=ROOT, env=ENVIRONMENT)
        assert done.returncode in (0, 1), done.stderr.decode()
        assert len(done.stdout.splitlines()) == len(tags), done.stderr.decode()
        return time.perf_counter() - start

    tags = printable()
    took(tags[0])  # warming up
    together = took(*tags)
    alone = sum(took(tag) for tag in tags)
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    ratio = together / alone
    tell(f"{len(tags)} languages of the demo in one run / in {len(tags)} runs, {cores} cores: {together:.1f} s / {alone:.1f} s = {ratio:.2f} (aim: {AIM})")
    assert ratio < 0.8 or cores < 2
