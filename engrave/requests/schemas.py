"""What is asked of the schemas."""

from __future__ import annotations

from engrave.documents.kind import Kind
from engrave.requests.option import option, request
from engrave.requests.pages import quiet_option
from engrave.requests.targets import STREAM


@request
class SchemaRequest:
    """Copy the schemas, by which an editor completes and checks documents; with KIND, print one."""

    kind: Kind | None = option(
        ", ".join(kind.value for kind in Kind),
        flag="",
        value="KIND",
        choices=Kind,
        default=None,
        optional=True,
    )
    output: str = option("copy into this folder", flag="-o", value="FOLDER", default="", usual="schemas")
    quiet: bool = quiet_option("print the schema and problems only")

    def find_misuse(self) -> str:
        """What is wrong with a request for all schemas at once; "" when nothing is."""
        if self.output == STREAM and self.kind is None:
            return "one schema is printed at a time: name its kind"
        return ""
