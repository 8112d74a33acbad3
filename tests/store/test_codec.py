"""Packing is exact, and damage is told."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from ferrule.errors import StoreError
from ferrule.store.codec import pack_arrays, pack_bytes, sha256_of, unpack_arrays, unpack_bytes

KEPT = settings(max_examples=40, derandomize=True, deadline=None)


@KEPT
@given(st.binary(max_size=4000))
def test_bytes_come_back_bit_for_bit(content: bytes) -> None:
    assert unpack_bytes(*pack_bytes(content)) == content


@KEPT
@given(
    hnp.arrays(
        st.sampled_from([np.float64, np.float32, np.int16, np.bool_]),
        hnp.array_shapes(min_dims=1, max_dims=3, min_side=0, max_side=9),
    )
)
def test_arrays_come_back_bit_for_bit(array: np.ndarray) -> None:
    back = unpack_arrays(pack_arrays({"a": array, "b": array[::-1]}))
    assert back["a"].dtype == array.dtype
    assert back["a"].shape == array.shape
    assert back["a"].tobytes() == np.ascontiguousarray(array).tobytes()
    assert back["b"].tobytes() == np.ascontiguousarray(array[::-1]).tobytes()


def test_nan_and_minus_zero_are_kept() -> None:
    array = np.array([np.nan, -0.0, np.inf])
    back = unpack_arrays(pack_arrays({"a": array}))["a"]
    assert back.tobytes() == array.tobytes()


def test_smooth_signals_shrink() -> None:
    t = np.arange(0.0, 6.0, 0.001)
    signals = np.stack([np.sin(k * t) for k in range(1, 15)], axis=1).astype(np.float32)
    assert len(pack_arrays({"signals": signals})) < 0.75 * signals.nbytes


def test_what_is_packed_already_stays_plain() -> None:
    noise = np.random.default_rng(1).bytes(2000)
    assert pack_bytes(noise) == ("plain", noise)
    assert pack_bytes(b"0.1,0.2\n" * 500)[0] == "zlib"


def test_known_hash() -> None:
    # FIPS 180-2, appendix B.1: the message "abc".
    assert sha256_of(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


@pytest.mark.parametrize("damage", ["cut", "flip", "kind"])
def test_damage_is_told(damage: str) -> None:
    packing, packed = pack_bytes(b"0.1,0.2\n" * 500)
    traces = pack_arrays({"a": np.arange(100.0)})
    if damage == "kind":
        with pytest.raises(StoreError, match="does not know"):
            unpack_bytes("lzma9", packed)
        traces = b"OTHR" + traces[4:]
    else:
        spoil = (lambda b: b[:-9]) if damage == "cut" else (lambda b: b[:-30] + bytes([b[-30] ^ 255]) + b[-29:])
        with pytest.raises(StoreError, match="damaged"):
            unpack_bytes(packing, spoil(packed))
        traces = spoil(traces)
    with pytest.raises(StoreError, match="damaged"):
        unpack_arrays(traces)
