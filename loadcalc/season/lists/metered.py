"""The package of an XLSX file, each part of it metered while it is read.

A few KB can unpack to millions of tags, each of which costs openpyxl microseconds and a few hundred bytes. So tags and
attributes are counted on their way to the parser, by the bytes "<" and "=" that none of them can do without.
"""

from __future__ import annotations

import io
import zipfile
from typing import IO, Any

from loadcalc.model.errors import BadValue
from loadcalc.season import bounds

CURE = "save the list alone as CSV"
CHUNK = 65_536


class Package(zipfile.ZipFile):
    """An XLSX file. What is read of it is bounded, part by part and all together.

    Raises BadValue when it is no XLSX file, or unpacks to more than a season reads.
    """

    def __init__(self, data: bytes, filename: str) -> None:
        self.called = filename
        self.tags = 0
        try:
            super().__init__(io.BytesIO(data))
        except zipfile.BadZipFile:
            raise BadValue("file", filename, "is damaged", "save it again as XLSX or CSV") from None
        if "xl/workbook.xml" not in self.namelist():
            raise BadValue("file", filename, "is not an XLSX spreadsheet", "save the list as XLSX or CSV")
        bounds.refuse_unpacking(self.infolist(), bounds.UNPACKED_BYTES, filename, CURE)

    def open(self, name: str | zipfile.ZipInfo, mode: Any = "r", *args: Any, **how: Any) -> IO[bytes]:
        """Open a part for reading, metered."""
        entry = self.getinfo(name) if isinstance(name, str) else name
        return _Metered(super().open(entry, mode, *args, **how), self, entry.filename)  # type: ignore[return-value]  # reads as one


class _Metered(io.BufferedIOBase):
    """A part that counts its tags and attributes as they are read."""

    def __init__(self, source: IO[bytes], package: Package, name: str) -> None:
        self.source, self.package = source, package
        self.most_tags = next(most for begins, most in bounds.TAGS.items() if name.startswith(begins))
        self.bytes = self.tags = self.attributes = 0

    def read(self, size: int | None = -1) -> bytes:
        """Read on. Raises BadValue once there is more of it than a season reads."""
        if size is None or size < 0:
            return b"".join(iter(lambda: self.read(CHUNK), b""))
        data = self.source.read(size)
        self.bytes += len(data)
        tags = data.count(b"<")
        self.tags += tags
        self.attributes += data.count(b"=")
        self.package.tags += tags
        called = self.package.called
        bounds.refuse_above("bytes in one part", self.bytes, bounds.PART_BYTES, called, CURE)
        bounds.refuse_above("XML tags", self.tags, self.most_tags, called, CURE)
        bounds.refuse_above("XML tags", self.package.tags, bounds.ALL_TAGS, called, CURE)
        most = int(bounds.MOST_ATTRIBUTES * self.most_tags)
        bounds.refuse_above("XML attributes", self.attributes, most, called, CURE)
        return data

    def close(self) -> None:
        """Close the part."""
        self.source.close()
        super().close()
