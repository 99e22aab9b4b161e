"""What the book and all sheets cost beside the template set and the mechanics, in processor time of one run."""

import time

import pytest

from braces.app.make import product_list
from braces.app.products import Job
from braces.app.study import study


@pytest.mark.slow
def test_book_and_all_sheets_against_templates_and_mechanics(capsys):
    found = study("fieldfare")
    job = Job(found, "a4")
    took = {}
    for product in product_list(["templates,strength,drawings,rim,book"], found):
        start = time.process_time()
        product.make(job)
        took[product.key] = time.process_time() - start
        job.made.add(product.key)
    ratio = sum(took.values()) / (took["templates"] + took["strength"])
    with capsys.disabled():
        print("\n" + ", ".join(f"{key} {took[key]:.2f} s" for key in took))
        print(f"book and all sheets of fieldfare: {ratio:.2f} times templates and mechanics (asked: at most 1.5)")
    assert ratio <= 1.5
