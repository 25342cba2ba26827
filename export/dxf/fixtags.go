package dxf

import "slices"

// fixTags corrects what yofu/dxf (v0.0.0-20250806094206) leaves out or writes too
// much of. Each correction gives its reason; when the library learns one, that one
// goes.
//
//  1. $MEASUREMENT 1 (metric) follows $INSUNITS: the library cannot write it, and
//     some readers look at it when they do not know the other.
//  2. Tables have an owner, 0 (DXF reference, common group codes for symbol
//     tables).
//  3. BLOCK_RECORD loses the groups 70, 280 and 281. They belong to AC1021 and
//     later (ezdxf 0.18.1, entities/blockrecord.py); strict readers of AC1015
//     stumble over newer groups.
//  4. BLOCK and ENDBLK are owned by their BLOCK_RECORD, and those of the paper
//     space are marked as such (group 67).
//  5. The root dictionary is owned by 0 and the group dictionary by the root.
//  6. The two object classes in use that are not built in are declared (ezdxf
//     0.18.1, sections/classes.py: required for AC1015).
//
// The owner of every entity and the handles are set when drawing, through the
// library's own methods.
func fixTags(tags []tag) []tag {
	var out []tag
	handle := map[string]string{} // of a block record, by name
	block, root := "", "0"
	for _, rec := range records(tags) {
		switch rec[0].value {
		case "SECTION":
			if i := slices.Index(rec, tag{9, "$INSUNITS"}); i >= 0 {
				rec = slices.Insert(rec, i+2, tag{9, "$MEASUREMENT"}, tag{70, "1"})
			}
			if first(rec, 2) == "CLASSES" {
				rec = append(rec, classes...)
			}
		case "TABLE":
			rec = after(rec, 5, tag{330, "0"})
		case "BLOCK_RECORD":
			handle[first(rec, 2)] = first(rec, 5)
			rec = slices.DeleteFunc(rec, func(t tag) bool { return t.code == 70 || t.code == 280 || t.code == 281 })
		case "BLOCK", "ENDBLK":
			if rec[0].value == "BLOCK" {
				block = first(rec, 2)
			}
			rec = after(rec, 5, tag{330, handle[block]})
			if block == paperSpace {
				rec = after(rec, 100, tag{67, "1"})
			}
		case "DICTIONARY":
			rec = after(rec, 5, tag{330, root})
			if root == "0" {
				root = first(rec, 5)
			}
		}
		out = append(out, rec...)
	}
	return out
}

// classes declares the object classes that are not built in: record name, class
// name, application, then proxy flags, was-a-proxy and is-an-entity, all 0.
var classes = []tag{
	{0, "CLASS"},
	{1, "ACDBDICTIONARYWDFLT"},
	{2, "AcDbDictionaryWithDefault"},
	{3, "ObjectDBX Classes"},
	{90, "0"},
	{280, "0"},
	{281, "0"},
	{0, "CLASS"},
	{1, "ACDBPLACEHOLDER"},
	{2, "AcDbPlaceHolder"},
	{3, "ObjectDBX Classes"},
	{90, "0"},
	{280, "0"},
	{281, "0"},
}
