"""How bytes and arrays are packed for keeping. Both packings are exact.

Files go through zlib. Arrays are laid out channel by channel, their bytes shuffled (all first bytes, then all second
bytes...) and then compressed: the high bytes of a smooth signal hardly change and pack well.
"""

import hashlib
import json
import zlib
from collections.abc import Mapping
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray

from ferrule.errors import StoreError

Packing = Literal["zlib", "plain"]
LEVEL: Final = 6
_MAGIC: Final = b"FRT1"


def sha256_of(content: bytes) -> str:
    """SHA-256 of the bytes, 64 hex digits."""
    return hashlib.sha256(content).hexdigest()


def pack_bytes(content: bytes) -> tuple[Packing, bytes]:
    """The packing and the packed bytes; what does not shrink (it is packed already) stays as it is."""
    packed = zlib.compress(content, LEVEL)
    return ("zlib", packed) if len(packed) < 0.95 * len(content) else ("plain", content)


def unpack_bytes(packing: str, packed: bytes) -> bytes:
    """The original bytes. Raises StoreError when they are damaged."""
    if packing == "plain":
        return packed
    if packing != "zlib":
        raise StoreError(f"A recording is packed as {packing!r}, which this version of Ferrule does not know.")
    try:
        return zlib.decompress(packed)
    except zlib.error as error:
        raise StoreError(f"The kept bytes of a recording are damaged ({error}). Restore a backup.") from error


def pack_arrays(arrays: Mapping[str, NDArray[Any]]) -> bytes:
    """Named arrays as one block of bytes: a small head in JSON, then each array shuffled and compressed."""
    head = []
    blocks = []
    for name, array in arrays.items():
        a = np.ascontiguousarray(np.moveaxis(array, 0, -1) if array.ndim > 1 else array)
        shuffled = np.ascontiguousarray(a.reshape(-1).view(np.uint8).reshape(-1, a.itemsize).T)
        block = zlib.compress(shuffled.tobytes(), LEVEL)
        head.append({"name": name, "dtype": a.dtype.str, "shape": a.shape, "length": len(block)})
        blocks.append(block)
    text = json.dumps(head).encode()
    return b"".join([_MAGIC, len(text).to_bytes(4, "little"), text, *blocks])


def unpack_arrays(packed: bytes) -> dict[str, NDArray[Any]]:
    """The arrays of `pack_arrays`, bit for bit. Raises StoreError when the block is damaged."""
    try:
        if packed[:4] != _MAGIC:
            raise ValueError("unknown kind")
        start = 8 + int.from_bytes(packed[4:8], "little")
        arrays = {}
        for entry in json.loads(packed[8:start]):
            end = start + entry["length"]
            dtype = np.dtype(entry["dtype"])
            shuffled = np.frombuffer(zlib.decompress(packed[start:end]), np.uint8).reshape(dtype.itemsize, -1)
            a = np.ascontiguousarray(shuffled.T).reshape(-1).view(dtype).reshape(entry["shape"])
            arrays[entry["name"]] = np.ascontiguousarray(np.moveaxis(a, -1, 0)) if a.ndim > 1 else a.copy()
            start = end
    except (ValueError, KeyError, zlib.error) as error:
        raise StoreError(f"Kept traces are damaged ({error}). Work the recording out again.") from error
    return arrays
