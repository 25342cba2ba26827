package threemf

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"hash/crc32"
	"io"
)

const (
	typesEntry = "[Content_Types].xml"
	relsEntry  = "_rels/.rels"
	modelEntry = "3D/3dmodel.model"
)

// contentTypes says what the two kinds of entries are. The library writes the
// same two lines in either order.
const contentTypes = `<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
    <Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"></Default>
    <Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"></Default>
</Types>
`

// firstDOSDate is 1980-01-01, the earliest date that a zip entry can bear. Zero
// would be month 0, day 0, which some readers refuse.
const firstDOSDate = 1<<5 | 1

// repack writes the entries of the library's zip again, so that equal content
// gives equal bytes. An entry that is missing or not expected is an error: then
// the library has changed and this file must be looked at.
func repack(raw []byte) ([]byte, error) {
	in, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		return nil, fmt.Errorf("threemf: repack: %w", err)
	}
	content := map[string][]byte{}
	for _, f := range in.File {
		if content[f.Name], err = inflate(f); err != nil {
			return nil, fmt.Errorf("threemf: repack %s: %w", f.Name, err)
		}
	}
	order := []string{typesEntry, relsEntry, modelEntry}
	for _, name := range order {
		if len(content[name]) == 0 {
			return nil, fmt.Errorf("threemf: repack: the library wrote no %s", name)
		}
	}
	if len(content) != len(order) {
		return nil, fmt.Errorf("threemf: repack: the library wrote %d entries, wanted %d", len(content), len(order))
	}
	content[typesEntry] = []byte(contentTypes)
	var out bytes.Buffer
	zw := zip.NewWriter(&out)
	for _, name := range order {
		if err := deflate(zw, name, content[name]); err != nil {
			return nil, fmt.Errorf("threemf: repack %s: %w", name, err)
		}
	}
	if err := zw.Close(); err != nil {
		return nil, fmt.Errorf("threemf: repack: %w", err)
	}
	return out.Bytes(), nil
}

func inflate(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return io.ReadAll(r)
}

// deflate adds one entry with its sizes and checksum in the local header: a
// reader that streams then needs no trailing descriptor.
func deflate(zw *zip.Writer, name string, data []byte) error {
	var packed bytes.Buffer
	fw, err := flate.NewWriter(&packed, flate.DefaultCompression)
	if err != nil {
		return err
	}
	if _, err := fw.Write(data); err != nil {
		return err
	}
	if err := fw.Close(); err != nil {
		return err
	}
	h := &zip.FileHeader{
		Name: name, Method: zip.Deflate, CRC32: crc32.ChecksumIEEE(data),
		CompressedSize64: uint64(packed.Len()), UncompressedSize64: uint64(len(data)),
	}
	//lint:ignore SA1019 CreateRaw writes this field and does not look at Modified
	h.ModifiedDate = firstDOSDate
	w, err := zw.CreateRaw(h)
	if err != nil {
		return err
	}
	_, err = w.Write(packed.Bytes())
	return err
}
