"""Whether a zip archive is a plain workbook, and what it is if it is not."""

from bomcheck.errors import WorkbookError
from bomcheck.workbook.archive import XML_ENDINGS, Archive
from bomcheck.workbook.file_kind import SAVE_AS
from bomcheck.workbook.parts import STRICT, TYPES_PART, ContentTypes, doctype, read_relations
from bomcheck.workbook.refusal import damaged, refuse
from bomcheck.workbook.xml_tree import BadXml, Doctype, Node, looks_at_root

LONGEST_HEAD = 65_536
"""Bytes of a part within which its first element must start."""


def require_workbook(archive: Archive) -> None:
    """Tell other zip files by what they hold."""
    if archive.find(TYPES_PART):
        return
    if archive.find("mimetype") and b"opendocument.spreadsheet" in archive.read(archive.find("mimetype") or ""):
        raise _other(archive.file, "this is an OpenDocument spreadsheet (.ods)")
    if archive.find("mimetype") and archive.find("META-INF/manifest.xml"):
        raise _other(archive.file, "this is an OpenDocument file, but not a spreadsheet")
    if archive.find("Index/Document.iwa") or archive.find("Index.zip"):
        raise _other(archive.file, "this is a Numbers, Pages or Keynote file")
    raise _other(archive.file, "this is a zip archive without a workbook in it")


def _other(file: str, wrong: str) -> WorkbookError:
    return refuse("not a workbook", file, wrong, SAVE_AS)


def find_workbook(archive: Archive, types: ContentTypes) -> str:
    """Name of the part with the list of sheets, or the reason why there is none."""
    root = next((one for one in read_relations(archive, "") if one.kind == "officeDocument"), None)
    if root is None or root.external:
        raise damaged(archive.file, "it does not say which of its parts is the workbook")
    if root.type.startswith(STRICT):
        raise _strict(archive.file)
    if root.target not in archive.members:
        raise damaged(archive.file, f"its part {root.target} is missing")
    kind = types.of(root.target)
    if ".binary." in kind:
        raise _other(archive.file, "this is a binary workbook (.xlsb)")
    if "wordprocessingml" in kind or "presentationml" in kind:
        raise _other(archive.file, "this is a text document or a presentation, not a workbook")
    return root.target


def _strict(file: str) -> WorkbookError:
    instead = "Open it and save it as the ordinary kind, Excel workbook (.xlsx)"
    return refuse("not a workbook", file, "this workbook was saved as Strict Open XML", instead)


def require_spreadsheet(file: str, root: Node) -> None:
    if root.uri.startswith(STRICT):
        raise _strict(file)
    if root.name != "workbook":
        raise damaged(file, "its list of sheets is missing")


def require_no_doctypes(archive: Archive) -> None:
    """Look at the head of every XML part, also of those that are only copied."""
    for name, member in archive.members.items():
        if not name.lower().endswith(XML_ENDINGS) or member.size == 0:
            continue
        try:
            seen = looks_at_root(archive.head(name, 2_000)) or looks_at_root(archive.head(name, LONGEST_HEAD))
        except Doctype:
            raise doctype(archive.file, name) from None
        except BadXml:
            continue
        if not seen and member.size > LONGEST_HEAD:
            raise damaged(archive.file, f"its part {name} has too much before its contents")
