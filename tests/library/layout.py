#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What a compiled caller relies on: size and fields of every public struct, value of every enumerator,
read from the debugging data of a file that includes all public headers, against tests/library/layout.txt.

    layout.py PROJECT_FOLDER C_COMPILER [--write]

Also: every struct of 1000 bytes or more is in BF_LAYOUT_TABLE of brinefront.h, or part of one that is, so
that bf_check_headers() notices when it changes. What to do about a change: docs/decisions/library.md.
"""
import difflib
import os
import re
import subprocess
import sys
import tempfile

top, compiler = sys.argv[1:3]
stored = os.path.join(top, "tests/library/layout.txt")


def debugging_data():
    """List of entries: offset, depth, tag, attributes."""
    with tempfile.TemporaryDirectory() as room:
        source = os.path.join(room, "all.c")
        with open(source, "w", encoding="utf-8") as file:
            file.write('#include "brinefront/brinefront.h"\n')
        target = os.path.join(room, "all.o")
        subprocess.run([compiler, "-g", "-gdwarf-4", "-fno-eliminate-unused-debug-types", "-I",
                        os.path.join(top, "include"), "-c", source, "-o", target], check=True)
        text = subprocess.run(["readelf", "--debug-dump=info", "-W", target], check=True,
                              capture_output=True, text=True).stdout
    entries = []
    for line in text.splitlines():
        head = re.match(r" *<(\w+)><(\w+)>: Abbrev Number: \d+ \((\w+)\)", line)
        if head:
            entries.append((head[2], int(head[1], 16), head[3], {}))
            continue
        # " <c> DW_AT_name : (strp) (offset: 0x3be): bf_water", "... DW_AT_type : (ref4) <0x29>, long int"
        attribute = re.match(r" *<\w+> +(DW_AT_\w+) *: (?:\([^)]*\):? )*(\S*)", line)
        if attribute and entries:
            entries[-1][3][attribute[1]] = re.sub(r"<0x(\w+)>,?", r"\1", attribute[2])
    return entries


def describe(entries):
    """Lines of the layout, sizes by name, and the structs that each struct holds by value."""
    by_offset = {offset: (tag, values) for offset, _, tag, values in entries}
    children = {}
    parents = []
    for offset, depth, tag, values in entries:
        parents = parents[:depth]
        if parents:
            children.setdefault(parents[-1], []).append((tag, values))
        parents.append(offset)
    names = {}
    for _, _, tag, values in entries:
        if tag == "DW_TAG_typedef" and "DW_AT_type" in values:
            names.setdefault(values["DW_AT_type"], values["DW_AT_name"])

    def whole(offset):  # the struct behind arrays, typedefs and qualifiers; None behind a pointer
        while offset in by_offset:
            tag, values = by_offset[offset]
            if tag == "DW_TAG_structure_type":
                return offset
            if tag == "DW_TAG_pointer_type" or "DW_AT_type" not in values:
                return None
            offset = values["DW_AT_type"]
        return None

    def public(offset, values):
        return values.get("DW_AT_name") or names.get(offset) or "without a name"

    lines, sizes, parts = set(), {}, {}
    for offset, _, tag, values in entries:
        if tag == "DW_TAG_enumeration_type":
            words = [f'{v["DW_AT_name"]} {int(v["DW_AT_const_value"], 0)}' for _, v in children.get(offset, [])]
            lines.add(f"enum {public(offset, values)}: " + ", ".join(words))
        elif tag == "DW_TAG_structure_type" and "DW_AT_byte_size" in values:
            name = public(offset, values)
            if not name.startswith("bf_"):
                continue
            sizes[name] = int(values["DW_AT_byte_size"], 0)
            fields = []
            for _, field in children.get(offset, []):
                fields.append(f'{field["DW_AT_name"]} {int(field["DW_AT_data_member_location"], 0)}')
                inner = whole(field["DW_AT_type"])
                if inner:
                    parts.setdefault(name, set()).add(public(inner, by_offset[inner][1]))
            lines.add(f"struct {name} {sizes[name]}: " + ", ".join(fields))
    return sorted(lines), sizes, parts


def covered(parts):
    with open(os.path.join(top, "include/brinefront/brinefront.h"), encoding="utf-8") as file:
        table = file.read().split("#define BF_LAYOUT_TABLE(X)")[1].split("\n\n")[0]
    visited = []
    left = re.findall(r"X\((\w+)\)", table)
    while left:
        visited.append(left.pop())
        left += [part for part in parts.get(visited[-1], ()) if part not in visited + left]
    return set(visited)


lines, sizes, parts = describe(debugging_data())
if len(sizes) < 50:
    sys.exit(f"{len(sizes)} structs: the debugging data were not understood")
missing = sorted(name for name, size in sizes.items() if size >= 1000 and name not in covered(parts))
if missing:
    sys.exit(f"these are in no struct of BF_LAYOUT_TABLE in brinefront.h: {' '.join(missing)}")
if sys.argv[3:] == ["--write"]:
    with open(stored, "w", encoding="utf-8") as file:
        file.writelines(line + "\n" for line in lines)
    sys.exit(0)
with open(stored, encoding="utf-8") as file:
    before = file.read().splitlines()
if before != lines:
    print("\n".join(difflib.unified_diff(before, lines, "as listed", "now", lineterm="", n=0)))
    sys.exit("Programs compiled before this no longer fit. Where that is meant: once this version has been\n"
             "released, raise the minor version in project() of CMakeLists.txt; then write the list anew:\n"
             "    cmake --build build --target write_layout")
print(f"{len(sizes)} structs and {len(lines) - len(sizes)} enumerations, as listed")
