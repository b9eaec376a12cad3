"""The complementarity problem: many right sides at once, against Lemke's pivots one by one."""

import numpy as np
import pytest

from framecore.fem.lemke import complementary, lemke


@pytest.mark.parametrize("seed", range(20))
def test_many_right_sides_have_the_answers_of_single_ones(seed):
    rng = np.random.default_rng(seed)
    n = int(rng.integers(2, 9))
    half = rng.normal(size=(n, n))
    m, q = half @ half.T + 0.01 * np.eye(n), rng.normal(size=(n, 6))
    for k, z in enumerate(complementary(m, q)):
        w = m @ z + q[:, k]
        assert z.min() >= 0.0 and w.min() >= -1e-9 and abs(z @ w) < 1e-9
        np.testing.assert_allclose(z, lemke(m, q[:, k]), rtol=1e-7, atol=1e-9)


def test_a_right_side_without_an_answer_is_told_from_those_with_one():
    # Two feet that carry one and the same motion: pressed alike they share it, pulled alike nothing holds them.
    m = np.array([(1.0, -1.0), (-1.0, 1.0)])
    q = np.array([(1.0, -1.0, -1.0), (2.0, -1.0, 1.5)])
    stands, falls, shares = complementary(m, q)
    assert stands is not None and not stands.any()
    assert falls is None
    assert shares == pytest.approx([1.0, 0.0])
