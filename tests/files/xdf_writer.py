"""Writes small XDF files: chunks of a length, a tag and content, as the open specification (sccn/xdf, wiki) has them."""

import struct
from pathlib import Path


def _sized(number):
    return bytes([1, number]) if number < 256 else bytes([4]) + struct.pack("<I", number)


def _chunk(tag, content):
    return _sized(len(content) + 2) + struct.pack("<H", tag) + content


def _header(name, kind, labels, count, text, rate):
    channels = "".join(f"<channel><label>{label}</label></channel>" for label in labels)
    form = "string" if text else "double64"
    return (
        f'<?xml version="1.0"?><info><name>{name}</name><type>{kind}</type><channel_count>{count}</channel_count>'
        f"<nominal_srate>{rate}</nominal_srate><channel_format>{form}</channel_format><source_id>{name}-1</source_id>"
        f"<desc><channels>{channels}</channels></desc></info>"
    ).encode()


def write_xdf(path, streams):
    """streams: (name, labels, times, rows); rows of numbers, or of one text each; without rows, of numbers never sent."""
    out = [b"XDF:", _chunk(1, b'<?xml version="1.0"?><info><version>1.0</version></info>')]
    for number, (name, labels, times, rows) in enumerate(streams, 1):
        text = bool(rows) and isinstance(rows[0][0], str)
        head = struct.pack("<I", number)
        rate = 0 if text or not rows else round(1.0 / (times[1] - times[0]))
        out.append(
            _chunk(
                2,
                head
                + _header(name, "marks" if text else "imu", labels, len(rows[0]) if rows else len(labels), text, rate),
            )
        )
        for low in range(0, len(rows), 200):
            body = head + _sized(len(rows[low : low + 200]))
            for when, row in zip(times[low : low + 200], rows[low : low + 200], strict=True):
                body += bytes([8]) + struct.pack("<d", when)
                if text:
                    body += _sized(len(row[0])) + row[0].encode()
                else:
                    body += struct.pack(f"<{len(row)}d", *row)
            out.append(_chunk(3, body))
        if not rows:
            continue
        foot = f"<info><first_timestamp>{times[0]}</first_timestamp><last_timestamp>{times[-1]}</last_timestamp></info>"
        out.append(_chunk(6, head + foot.encode()))
    Path(path).write_bytes(b"".join(out))
    return Path(path)
