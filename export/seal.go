package export

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
)

// MadeBy is the value of the record's key "made_by".
const MadeBy = "reseat"

// SealBlank is the value of the record's key "seal_sha256" before Seal fills it in.
var SealBlank = strings.Repeat("0", sealLen)

const (
	sealLen = 64 // hexadecimal digits of a SHA-256
	sealKey = `"seal_sha256": "`
)

var errNoSeal = errors.New(`the record has no key "seal_sha256" with 64 digits`)

// sealAt returns where the digits of the seal start. The last key of that name is
// taken; inside a JSON string a quotation mark is always escaped, so no title can
// imitate it.
func sealAt(record []byte) (int, error) {
	i := bytes.LastIndex(record, []byte(sealKey))
	if i < 0 {
		return 0, errNoSeal
	}
	i += len(sealKey)
	if len(record) < i+sealLen+1 || record[i+sealLen] != '"' {
		return 0, errNoSeal
	}
	return i, nil
}

// Seal returns a copy of the record with the digits of its key "seal_sha256"
// replaced by the SHA-256 of the record with those digits zero.
func Seal(record []byte) ([]byte, error) {
	i, err := sealAt(record)
	if err != nil {
		return nil, err
	}
	out := bytes.Clone(record)
	copy(out[i:], SealBlank)
	copy(out[i:], digest(out))
	return out, nil
}

// Genuine reports whether a record was made by the tool and not changed by a single
// byte since.
func Genuine(data []byte) bool {
	sealed, err := Seal(data)
	if err != nil || !bytes.Equal(sealed, data) {
		return false
	}
	var r struct {
		MadeBy string `json:"made_by"`
	}
	return json.Unmarshal(data, &r) == nil && r.MadeBy == MadeBy
}
